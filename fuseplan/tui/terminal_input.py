"""What the terminal sends is decoded whatever it is, and a terminal that has gone ends the program."""

from __future__ import annotations

import codecs
import sys
import time
from collections.abc import Callable
from functools import partial

from textual.driver import Driver

from fuseplan.tui.ending import Ending

_PAUSE_S = 0.1
"""Between two readings of a terminal that has gone."""


class _Decoder:
    """Decodes what a terminal sends; what is no letter in its encoding becomes a mark (U+FFFD).

    A terminal that has gone is read as empty, at once, as often as it is asked, and the driver would ask without end:
    `gone` is called, in the thread that reads, and the next reading waits a little.
    """

    def __init__(self, gone: Callable[[], None], encoding: str) -> None:
        self._decoder = codecs.getincrementaldecoder(encoding)(errors="replace")
        self._gone = gone

    def decode(self, data: bytes, final: bool = False) -> str:
        if not data:
            self._gone()
            time.sleep(_PAUSE_S)
        return self._decoder.decode(data, final)


class TerminalInput(Ending):
    """The part of the program that says how the terminal is read."""

    def get_driver_class(self) -> type[Driver]:
        """As the base does it, but a key the terminal sends in another encoding than UTF-8 is shown as a mark (U+FFFD)
        instead of ending the program, which the driver's own decoder would; and no terminal is read after it has gone,
        also where no signal says that it has."""
        driver = super().get_driver_class()
        module = sys.modules[driver.__module__]
        if hasattr(module, "getincrementaldecoder"):
            module.getincrementaldecoder = partial(partial, _Decoder, self.terminal_gone)  # type: ignore[attr-defined]
        return driver
