"""The web server of ``fuseplan serve``: textual-serve, with our own page and the doors closed that it leaves open."""

from __future__ import annotations

import asyncio
import ipaddress
import logging
import os
import shlex
import socket
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import aiohttp_jinja2
from aiohttp import web
from textual_serve.server import Server, to_int

from fuseplan.cli.terminal import complain
from fuseplan.errors import FuseplanError
from fuseplan.papers.harmless import shown
from fuseplan.session.opening import open_session

HERE = Path(__file__).parent
LETTERS_PX = 16
SMALLEST_PX, LARGEST_PX = 8, 48
GOODBYE_S = 10.0
"""How long an open page's program may take to end."""


class PlanServer(Server):
    """Serves one plan; every page opened runs the screens in a process of its own."""

    def __init__(self, plan: Path, address: str, port: int) -> None:
        super().__init__(_command(plan), host=address, port=port, title=plan.name,
                         templates_path=HERE)
        self.plan = plan
        self._pages: set[asyncio.Task[Any]] = set()

    def initialize_logging(self) -> None:
        logging.basicConfig(level=logging.WARNING, format="fuseplan serve: %(message)s")

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        app.router.add_get("/page.js", _script)
        app.middlewares.append(_only_by_known_names)
        app.on_response_prepare.append(_keep_to_this_host)
        return app

    async def on_startup(self, app: web.Application) -> None:
        """Silent; the command has said what there is to say."""

    async def on_shutdown(self, app: web.Application) -> None:
        """End the open pages' programs, which keep what is not saved for recovery."""
        pages = set(self._pages)
        for page in pages:
            page.cancel()
        if pages:
            await asyncio.wait(pages, timeout=GOODBYE_S)

    async def handle_index(self, request: web.Request) -> web.Response:
        # The base returns values for a template of its own, with addresses made from the one listened on: a tablet
        # cannot follow http://0.0.0.0, so ours are made from the address the browser came by.
        try:
            await asyncio.to_thread(open_session, self.plan)
        except FuseplanError as error:
            lines = "\n".join(shown(line) for line in str(error).splitlines())
            return web.Response(status=409, text=f"The plan cannot be opened.\n\n{lines}\n\n"
                                                 "Cure this in the file, then load this page again.\n")
        size = min(max(to_int(request.query.get("fontsize", ""), LETTERS_PX), SMALLEST_PX), LARGEST_PX)
        return aiohttp_jinja2.render_template("page.html", request, {
            "plan": shown(self.plan.name), "letters_px": size, "socket": f"ws://{request.host}/ws"})

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        # A browser lets any page on the web open a socket to this machine; only the Origin it sends tells them apart.
        if request.headers.get("Origin") != f"http://{request.host}":
            raise web.HTTPForbidden(text="Only the page served here may talk to fuseplan.\n")
        page = asyncio.current_task()
        assert page is not None
        self._pages.add(page)
        complain(f"a page was opened from {request.remote}")
        try:
            return await super().handle_websocket(request)
        finally:
            self._pages.discard(page)
            complain(f"the page from {request.remote} was closed")


async def _script(request: web.Request) -> web.FileResponse:
    return web.FileResponse(HERE / "page.js")


def _command(plan: Path) -> str:
    """The command line, as the system's shell reads it, that runs the screens on a plan."""
    # -P: a file in the working folder that is named like a module must not be imported in its place.
    words = [sys.executable, "-P", "-m", "fuseplan.cli.served.screens", str(plan.absolute())]
    return subprocess.list2cmdline(words) if os.name == "nt" else f"exec {shlex.join(words)}"


@web.middleware
async def _only_by_known_names(request: web.Request, handler: Any) -> web.StreamResponse:
    """Refuse requests made by a name that is not this machine's.

    A stranger's page may let its own name point at this machine, and would then pass for a page from here. An address
    in figures cannot be made to point elsewhere.
    """
    try:
        name = (urlsplit(f"//{request.host}").hostname or "").lower()
    except ValueError:
        name = ""
    own = socket.gethostname().lower()
    if name not in ("localhost", own, f"{own}.local") and not _is_address(name):
        raise web.HTTPForbidden(text="fuseplan answers to this machine's address in figures or its own name only.\n")
    response: web.StreamResponse = await handler(request)
    return response


def _is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True


async def _keep_to_this_host(request: web.Request, response: web.StreamResponse) -> None:
    """Tell the browser to load nothing from elsewhere and to show the page in nobody else's frame."""
    # The terminal in the page sets its colours and sizes in style elements, hence 'unsafe-inline' for styles only.
    response.headers["Content-Security-Policy"] = (
        f"default-src 'self'; style-src 'self' 'unsafe-inline'; connect-src 'self' ws://{request.host}; "
        "img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "no-referrer"
