"""Statements, keys and values in the text of a TOML file, as offsets.

Only for text that a TOML reader has accepted.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

from fuseplan.records import dataclass

_STRING = r'"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\''
_TOKEN = re.compile(rf"{_STRING}|#[^\n]*|[\[\]{{}}]", re.DOTALL)
_TEXT = re.compile(_STRING, re.DOTALL)
_KEY = re.compile(r"""[ \t]*(?:([A-Za-z0-9_-]+)|("(?:\\.|[^"\\\n])*"|'[^'\n]*'))[ \t]*([.=\]])""")
_BLANK = re.compile(r"(?:[ \t\r\n,]+|#[^\n]*)*")
_BARE = re.compile(r"[^,\]}#\n]*")


@dataclass(frozen=True)
class Statement:
    """One ``key = value``: the (dotted) key, and offsets of its line, its value and the end of the value."""

    key: tuple[str, ...]
    start: int
    value: int
    end: int


def read_key(text: str, at: int) -> tuple[tuple[str, ...], int]:
    """A dotted key from an offset on, and the offset after its ``=`` or ``]``; an empty key if there is none."""
    names: list[str] = []
    while found := _KEY.match(text, at):
        names.append(found[1] if found[1] else tomllib.loads(f"k = {found[2]}")["k"])
        at = found.end()
        if found[3] != ".":
            return tuple(names), at
    return (), at


def end_of_value(text: str, at: int) -> int:
    """Offset after the value that begins at an offset."""
    if text[at : at + 1] in ("[", "{"):
        depth = 0
        for token in _TOKEN.finditer(text, at):
            if token[0] in "[{":
                depth += 1
            elif token[0] in "]}":
                depth -= 1
                if depth == 0:
                    return token.end()
        return len(text)
    string = _TEXT.match(text, at)
    if string:
        return string.end()
    bare = _BARE.match(text, at)
    return at + len(bare[0].rstrip()) if bare else at


def value_start(text: str, at: int) -> tuple[tuple[str, ...], int]:
    """The key of the statement that begins at an offset, and the offset of its value."""
    key, at = read_key(text, at)
    while text[at : at + 1] in (" ", "\t"):
        at += 1
    return key, at


def after_line(text: str, at: int) -> int:
    """Offset after the line that an offset lies in."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def statements(text: str, start: int, end: int) -> Iterator[Statement]:
    """The statements between two offsets, in order."""
    at = start
    while at < end:
        line_end = after_line(text, at)
        key, after = value_start(text, at)
        if key:
            stop = end_of_value(text, after)
            yield Statement(key, at, after, stop)
            line_end = after_line(text, stop)
        at = line_end


def elements(text: str, at: int) -> Iterator[tuple[str | int, int, int]]:
    """The entries of the array or inline table that begins at an offset: key or position, offset, value's offset."""
    table = text[at : at + 1] == "{"
    at += 1
    index = 0
    while True:
        blank = _BLANK.match(text, at)
        at = blank.end() if blank else at
        if at >= len(text) or text[at] in "]}":
            return
        if table:
            key, value = value_start(text, at)
            if not key:
                return
            yield ".".join(key) if len(key) > 1 else key[0], at, value
        else:
            value = at
            yield index, at, value
            index += 1
        following = end_of_value(text, value)
        if following <= at:
            return
        at = following
