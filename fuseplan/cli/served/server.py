"""The web server of ``fuseplan serve``: one page, the few files it needs, and a socket to the screens.

Textual's own parts are used on both ends: its web driver in the program, and its terminal (script, style and fonts of
textual-serve) in the page.
"""

from __future__ import annotations

import asyncio
import html
import logging
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any

from aiohttp import web

from fuseplan.cli.served.access import TOKEN, Access
from fuseplan.cli.served.program import COLUMNS, LONGEST_MESSAGE, ROWS, Program, bounded
from fuseplan.cli.terminal import complain
from fuseplan.errors import FuseplanError
from fuseplan.papers.harmless import shown
from fuseplan.workspace.opening import open_session

HERE = Path(__file__).parent
LETTERS_PX, LETTERS = 16, (8, 48)
MOST_PAGES = 6
"""Pages open at the same time, each a process of its own."""
GOODBYE_S = 12.0
"""How long the open pages' programs may take to end."""
STATIC = {
    "/static/css/xterm.css": "text/css",
    "/static/js/textual.js": "text/javascript",
    "/static/fonts/RobotoMono-VariableFont_wght.ttf": "font/ttf",
    "/static/fonts/RobotoMono-Italic-VariableFont_wght.ttf": "font/ttf",
}
"""The only files of textual-serve that are handed out, with their types."""


class PlanServer:
    """Serves one plan; every page opened runs the screens in a process of its own."""

    def __init__(self, plan: Path, address: str, port: int) -> None:
        self.plan, self.address, self.port = plan, address, port
        self.access = Access(port)
        self._pages: set[asyncio.Task[Any]] = set()

    def location(self, host: str) -> str:
        """The address to open, by a name or an address of this machine."""
        return f"http://{host}:{self.port}/?{TOKEN}={self.access.token}"

    def serve(self) -> None:
        """Serve until Ctrl-C or a signal that asks it to end."""
        logging.basicConfig(level=logging.WARNING, format="fuseplan serve: %(message)s")
        web.run_app(self.application(), host=self.address, port=self.port, print=None, access_log=None,
                    handle_signals=True, shutdown_timeout=GOODBYE_S)

    def application(self) -> web.Application:
        """The routes: whatever is not named here does not exist."""
        app = web.Application(middlewares=[self._guarded], client_max_size=1024)
        app.router.add_get("/", self._page)
        app.router.add_get("/ws", self._socket)
        app.router.add_get("/page.js", _script)
        for path, kind in STATIC.items():
            app.router.add_get(path, _handed_out(path, kind))
        app.on_response_prepare.append(_keep_to_this_host)
        app.on_shutdown.append(self._end_pages)
        return app

    @web.middleware
    async def _guarded(self, request: web.Request, handler: Any) -> web.StreamResponse:
        reason = self.access.refusal(request)
        if reason is not None:
            return web.Response(status=403, text=reason + "\n")
        response: web.StreamResponse = await handler(request)
        return response

    async def _page(self, request: web.Request) -> web.Response:
        try:
            await asyncio.to_thread(open_session, self.plan)
        except FuseplanError as error:
            lines = "\n".join(shown(line) for line in str(error).splitlines())
            return web.Response(status=409, text=f"The plan cannot be opened.\n\n{lines}\n\n"
                                                 "Correct this in the file, then load this page again.\n")
        text = Template((HERE / "page.html").read_text(encoding="utf-8")).substitute(
            plan=html.escape(shown(self.plan.name)), socket=html.escape(f"ws://{request.host}/ws"),
            letters_px=bounded(request.query.get("fontsize"), LETTERS, LETTERS_PX))
        response = web.Response(text=text, content_type="text/html")
        self.access.remember(request, response)
        return response

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        if len(self._pages) >= MOST_PAGES:
            return web.Response(status=503, text=f"{MOST_PAGES} pages are open; close one, then load this page "
                                                 "again.\n")
        task = asyncio.current_task()
        assert task is not None
        self._pages.add(task)
        page = web.WebSocketResponse(heartbeat=15, max_msg_size=LONGEST_MESSAGE)
        try:
            await page.prepare(request)
            complain(f"a page was opened from {request.remote}")
            await Program(self.plan, complain).show(
                page, bounded(request.query.get("width"), COLUMNS, 80), bounded(request.query.get("height"), ROWS, 24))
            complain(f"the page from {request.remote} was closed")
        finally:
            self._pages.discard(task)
        return page

    async def _end_pages(self, app: web.Application) -> None:
        """End the open pages' programs, which keep what is not saved for recovery."""
        pages = set(self._pages)
        for page in pages:
            page.cancel()
        if pages:
            await asyncio.wait(pages, timeout=GOODBYE_S)


async def _script(request: web.Request) -> web.FileResponse:
    return web.FileResponse(HERE / "page.js")


def _handed_out(path: str, kind: str) -> Any:
    """A handler for one file of textual-serve."""
    content = files("textual_serve").joinpath(path.lstrip("/")).read_bytes()

    async def hand_out(request: web.Request) -> web.Response:
        return web.Response(body=content, content_type=kind)

    return hand_out


async def _keep_to_this_host(request: web.Request, response: web.StreamResponse) -> None:
    """Tell the browser to load nothing from elsewhere, to show the page in nobody else's frame and to keep nothing."""
    # The terminal in the page sets its colours and sizes in style elements, hence 'unsafe-inline' for styles only.
    response.headers["Content-Security-Policy"] = (
        f"default-src 'self'; style-src 'self' 'unsafe-inline'; connect-src 'self' ws://{request.host}; "
        "img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
    response.headers["Server"] = "fuseplan"
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    if request.path == "/":
        response.headers["Cache-Control"] = "no-store"
