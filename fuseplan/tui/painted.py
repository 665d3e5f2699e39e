"""Text of the papers on a screen: their roles become styles, everything else stays text."""

from __future__ import annotations

import re

from textual.content import Content

from fuseplan.tui.words import LEVEL_STYLES, MEASURE_STYLE, VERDICT_STYLES, line, lines

_STYLES = {**VERDICT_STYLES, **LEVEL_STYLES, "measure": MEASURE_STYLE, "heading": "bold $text-accent"}
_MARKED = re.compile("\x01([a-z]*)\x02(.*?)\x03")
"""Control characters of a file are spelled out before the papers paint, so those here are only ever from `mark`."""


def mark(text: str, role: str) -> str:
    """A `Paint` for the functions of the papers."""
    return f"\x01{role}\x02{text}\x03" if role in _STYLES else text


def plain(text: str) -> str:
    """What the papers wrote with `mark`, without the marks."""
    return _MARKED.sub(r"\2", text)


def painted(text: str) -> Content:
    """What the papers wrote with `mark`, as content for a screen."""
    return lines(*(_line(each) for each in text.rstrip("\n").split("\n")))


def _line(text: str) -> Content:
    parts: list[str | tuple[str, str]] = []
    end = 0
    for found in _MARKED.finditer(text):
        parts += [text[end:found.start()], (found[2], _STYLES[found[1]])]
        end = found.end()
    return line(*parts, text[end:])
