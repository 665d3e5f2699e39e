"""One open page: the screens in a process of their own, its pipes joined to the page's socket."""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from aiohttp import WSMsgType, web

from fuseplan.papers.harmless import shown

COLUMNS, ROWS = (2, 400), (2, 200)
"""Smallest and largest size a page may ask for, in cells."""
LONGEST_MESSAGE = 256 * 1024
"""Bytes of one message from the page; a pasted plan fits."""
LARGEST_PAINT = 16 * 1024 * 1024
"""Bytes the screens may paint at once."""
LAST_WORDS = 8 * 1024
"""Bytes kept of what the program wrote to its error output."""
QUIT_S, TERMINATE_S, STALLED_S = 4.0, 1.0, 20.0
"""How long the program may take to quit and to end when told by a signal, and to take in what was typed."""


def bounded(value: object, bounds: tuple[int, int], otherwise: int) -> int:
    """A whole number from a page held within bounds; `otherwise` where it is none."""
    try:
        number = int(str(value)[:12])
    except ValueError:
        number = otherwise
    return min(max(number, bounds[0]), bounds[1])


class Program:
    """The screens of one page. `complain` takes one line for whoever started the server."""

    def __init__(self, plan: Path, complain: Callable[[str], None]) -> None:
        self._plan, self._complain = plan, complain
        self._last_words = bytearray()

    async def show(self, page: web.WebSocketResponse, columns: int, rows: int) -> None:
        """Run the screens until the page goes away or they are left; the process has ended afterwards."""
        process = await asyncio.create_subprocess_exec(
            # -P: a file in the working folder that is named like a module must not be imported in its place.
            sys.executable, "-P", "-m", "fuseplan.cli.served.screens", str(self._plan.absolute()),
            stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.PIPE,
            env=_environment(columns, rows), limit=64 * 1024)
        tasks = [asyncio.create_task(each) for each in (
            self._paint(process, page), self._type(process, page), self._listen(process))]
        try:
            await asyncio.wait(tasks[:2], return_when=asyncio.FIRST_COMPLETED)
        finally:
            ending = asyncio.create_task(self._end(process))
            with contextlib.suppress(asyncio.CancelledError):
                await asyncio.shield(ending)
            await ending
            for task in tasks:
                task.cancel()
            for failed in await asyncio.gather(*tasks, return_exceptions=True):
                if isinstance(failed, Exception) and not isinstance(failed, (OSError, EOFError)):
                    self._complain(f"the page was closed: {shown(str(failed))}")
            if process.returncode not in (0, None) and self._last_words:
                self._complain(f"the screens ended with status {process.returncode}: "
                               f"{shown(self._last_words.decode('utf-8', 'replace').strip().splitlines()[-1])}")
            await page.close()

    async def _paint(self, process: asyncio.subprocess.Process, page: web.WebSocketResponse) -> None:
        """Hand what the screens paint to the page; ends with the program."""
        assert process.stdout is not None
        while await process.stdout.readline() not in (b"__GANGLION__\n", b""):
            pass  # what is printed before Textual's web driver says that it is there is not for the page
        while True:
            head = await process.stdout.readexactly(5)
            size = int.from_bytes(head[1:], "big")
            if size > LARGEST_PAINT:
                raise ValueError("the screens painted more at once than a page may get")
            body = await process.stdout.readexactly(size)
            if head[:1] == b"D":
                await page.send_bytes(body)

    async def _type(self, process: asyncio.subprocess.Process, page: web.WebSocketResponse) -> None:
        """Hand keys and sizes from the page to the screens; ends with the page."""
        async for message in page:
            if message.type is not WSMsgType.TEXT:
                continue
            packet = _packet(message.data)
            if isinstance(packet, bytes):
                await _send(process, packet)
            elif packet is not None:
                await page.send_json(packet)

    async def _listen(self, process: asyncio.subprocess.Process) -> None:
        """Keep the end of the program's error output."""
        assert process.stderr is not None
        while part := await process.stderr.read(4096):
            self._last_words += part
            del self._last_words[:-LAST_WORDS]

    async def _end(self, process: asyncio.subprocess.Process) -> None:
        """Ask the program to quit, then tell it, then kill it."""
        with contextlib.suppress(OSError, asyncio.TimeoutError):
            await asyncio.wait_for(_send(process, _framed(b"M", {"type": "quit"})), TERMINATE_S)
        if process.stdin is not None:
            process.stdin.close()
        # What it still paints must go somewhere, or it waits for a reader and never ends.
        emptying = asyncio.create_task(_empty(process))
        for tell, patience in ((None, QUIT_S), (process.terminate, TERMINATE_S), (process.kill, TERMINATE_S)):
            if tell is not None:
                with contextlib.suppress(ProcessLookupError):
                    tell()
            with contextlib.suppress(asyncio.TimeoutError):
                await asyncio.wait_for(process.wait(), patience)
                break
        emptying.cancel()
        with contextlib.suppress(asyncio.CancelledError, RuntimeError):
            await emptying


async def _empty(process: asyncio.subprocess.Process) -> None:
    assert process.stdout is not None
    with contextlib.suppress(RuntimeError):
        while await process.stdout.read(64 * 1024):
            pass


async def _send(process: asyncio.subprocess.Process, packet: bytes) -> None:
    assert process.stdin is not None
    process.stdin.write(packet)
    await asyncio.wait_for(process.stdin.drain(), STALLED_S)


def _framed(kind: bytes, what: dict[str, Any] | bytes) -> bytes:
    body = what if isinstance(what, bytes) else json.dumps(what).encode()
    return kind + len(body).to_bytes(4, "big") + body


def _packet(text: str) -> bytes | list[object] | None:
    """A message of the page as Textual's web driver wants it, or the answer to send back; None for anything else."""
    try:
        said = json.loads(text)
    except ValueError:
        return None
    if not isinstance(said, list) or not said:
        return None
    kind, what = said[0], said[1] if len(said) > 1 else None
    if kind == "stdin" and isinstance(what, str):
        return _framed(b"D", what.encode("utf-8", "replace"))
    if kind == "resize" and isinstance(what, dict):
        return _framed(b"M", {"type": "resize", "width": bounded(what.get("width"), COLUMNS, 80),
                              "height": bounded(what.get("height"), ROWS, 24)})
    if kind == "ping":
        return ["pong", what if isinstance(what, (int, float, str)) else None]
    if kind in ("blur", "focus"):
        return _framed(b"M", {"type": kind})
    return None


def _environment(columns: int, rows: int) -> dict[str, str]:
    return os.environ | {
        "TEXTUAL_DRIVER": "textual.drivers.web_driver:WebDriver", "TEXTUAL_FPS": "60",
        "TEXTUAL_COLOR_SYSTEM": "truecolor", "COLUMNS": str(columns), "ROWS": str(rows), "LINES": str(rows)}
