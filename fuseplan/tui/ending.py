"""Told by the system to end: the work is kept first, then the terminal is given back."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import threading
from typing import Any

from fuseplan.cli.exit_status import AFTER_SIGNAL
from fuseplan.errors import StoreError
from fuseplan.tui.program import Program

GRACE_S = 5.0
"""A terminal that has gone can hold up the program's end for ever; after this it ends all the same."""


class Ending(Program):
    """The part of the program that answers to signals."""

    _ended_by = 0

    async def run_async(self, *args: Any, **kwargs: Any) -> int | None:
        """As the base does it, with SIGINT, SIGTERM and SIGHUP ending the screens in order."""
        loop = asyncio.get_running_loop()
        for name in ("SIGINT", "SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None and signal.getsignal(number) != signal.SIG_IGN:
                # Not every system has them, and only the main thread may ask.
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    loop.add_signal_handler(number, self._told_to_end, number)
        return await super().run_async(*args, **kwargs)

    def terminal_gone(self) -> None:
        """End as after SIGHUP; from any thread. That signal does not come where it is ignored, or where the terminal is
        not the one the program belongs to."""
        if self._loop is not None:
            self._loop.call_soon_threadsafe(self._told_to_end, getattr(signal, "SIGHUP", 1))

    def _told_to_end(self, number: int) -> None:
        if self._ended_by:
            return
        self._ended_by = number
        with contextlib.suppress(StoreError):
            self.session.keep_for_recovery()
        if number == getattr(signal, "SIGHUP", None):
            last = threading.Timer(GRACE_S, os._exit, (AFTER_SIGNAL + number,))
            last.daemon = True
            last.start()
        self.exit(return_code=AFTER_SIGNAL + number)
