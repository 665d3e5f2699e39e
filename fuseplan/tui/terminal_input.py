"""What the terminal sends is decoded whatever it is, and a terminal that has gone ends the program.

Esc and a key pressed right after it are two keys.
"""

from __future__ import annotations

import codecs
import sys
import time
from collections.abc import Callable, Iterable
from functools import partial

from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser
from textual.driver import Driver
from textual.message import Message

from fuseplan.tui.ending import Ending

_PAUSE_S = 0.1
"""Between two readings of a terminal that has gone."""
_ESC = "\x1b"
_GOES_ON = "[Obf\x7f" + _ESC
"""What may follow the character of Esc as a part of the same key: `[` and `O` begin the sequence of an arrow, a
function key, the mouse; Alt with the other three moves and deletes by words in a field; and Esc itself begins anew."""


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


class EscapeAndKey(XTermParser):
    """Reads keys from what the terminal sends; Esc followed at once by another key is both.

    A terminal sends the same for Esc and then P as for Alt+P, and tmux holds Esc back until it is the same. The base
    takes it as Alt+P; with other keys it leaves out Esc, or makes a third key of the two. No action of the program is
    on a key with Alt.
    """

    _before = ""
    """The end of what was read so far."""
    _pasting = False

    def feed(self, data: str) -> Iterable[Message]:
        """As the base does it, but Esc waits for no more once a character follows that cannot go on with it."""
        if not data:
            yield from super().feed(data)
        for character in data:
            if self._before.endswith(_ESC) and character not in _GOES_ON and not self._pasting \
                    and self._timeout_time is not None:
                self._timeout_time = 0.0
                yield from self.tick()
            yield from super().feed(character)
            self._before = (self._before + character)[-len(BRACKETED_PASTE_START):]
            if self._before in (BRACKETED_PASTE_START, BRACKETED_PASTE_END):
                self._pasting = self._before == BRACKETED_PASTE_START


class TerminalInput(Ending):
    """The part of the program that says how the terminal is read."""

    def get_driver_class(self) -> type[Driver]:
        """As the base does it, but a key the terminal sends in another encoding than UTF-8 is shown as a mark (U+FFFD)
        instead of ending the program, which the driver's own decoder would; and no terminal is read after it has gone,
        also where no signal says that it has. Esc and a key right after it are two keys."""
        driver = super().get_driver_class()
        module = sys.modules[driver.__module__]
        if hasattr(module, "getincrementaldecoder"):
            module.getincrementaldecoder = partial(partial, _Decoder, self.terminal_gone)  # type: ignore[attr-defined]
        if hasattr(module, "XTermParser"):
            module.XTermParser = EscapeAndKey  # type: ignore[attr-defined]
        return driver
