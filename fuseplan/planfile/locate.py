"""Where things stand in the text of a TOML file: its sections, its statements, the line of any key.

Only for text that a TOML reader has accepted; used for the line numbers of problems and for edits, never to
read values.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

Path = tuple[str | int, ...]

_STRING = r'"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\''
_TOKEN = re.compile(rf"{_STRING}|#[^\n]*|[\[\]{{}}]", re.DOTALL)
_TEXT = re.compile(_STRING, re.DOTALL)
_KEY = re.compile(r"""[ \t]*(?:([A-Za-z0-9_-]+)|("(?:\\.|[^"\\\n])*"|'[^'\n]*'))[ \t]*([.=\]])""")
_BLANK = re.compile(r"(?:[ \t\r\n,]+|#[^\n]*)*")
_SIMPLE = re.compile(r'[ \t]*[A-Za-z0-9_-]+[ \t]*=[ \t]*(?:"[^"\\\n]*"|[^"\'\[\]{}#\n]+)[ \t]*(?:#[^\n]*)?(?:\n|\Z)')
"""A statement that ends on its own line for sure; spares the close look."""
_BARE = re.compile(r"[^,\]}#\n]*")


class Section(NamedTuple):
    """A header with its body, or the keys before the first header.

    Attributes
    ----------
    path : the header's keys, each array of tables followed by the position in it, from 0
    array : the header is one of an array of tables, ``[[...]]``
    lead : offset of the comment lines directly above the header, or of the header itself
    start : offset of the header's line
    body : offset of the line after the header
    last : offset after the last statement and the comments that follow it without a blank line
    end : `lead` of the next section, or the text's length
    """

    path: Path
    array: bool
    lead: int
    start: int
    body: int
    last: int
    end: int


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


def _line_end(text: str, at: int) -> int:
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def statements(text: str, start: int, end: int) -> Iterator[Statement]:
    """The statements between two offsets, in order."""
    at = start
    while at < end:
        line_end = _line_end(text, at)
        key, after = value_start(text, at)
        if key:
            stop = end_of_value(text, after)
            yield Statement(key, at, after, stop)
            line_end = _line_end(text, stop)
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


@dataclass(frozen=True)
class Headers:
    """The headers of a text, wherever they stand; texts that differ only between headers share them."""

    paths: list[Path]
    arrays: list[bool]

    @cached_property
    def by_path(self) -> dict[Path, list[int]]:
        """Numbers of the sections whose header is just a path."""
        found: dict[Path, list[int]] = {}
        for number, path in enumerate(self.paths):
            found.setdefault(path, []).append(number)
        return found

    @cached_property
    def below(self) -> dict[Path, list[int]]:
        """Numbers of the sections at or below each path."""
        found: dict[Path, list[int]] = {}
        for number, path in enumerate(self.paths[1:], start=1):
            for length in range(1, len(path) + 1):
                found.setdefault(path[:length], []).append(number)
        return found

    @cached_property
    def names(self) -> dict[str | int, dict[str | int, None]]:
        """The second words of the headers by their first, in the order of the text."""
        found: dict[str | int, dict[str | int, None]] = {}
        for path in self.paths:
            if len(path) > 1:
                found.setdefault(path[0], {})[path[1]] = None
        return found


class Offsets(NamedTuple):
    """Where each section stands; the fields are those of `Section`."""

    lead: list[int]
    start: list[int]
    body: list[int]
    last: list[int]

    def moved(self, number: int, by: int) -> Offsets:
        """The same with every section from a number on moved."""
        return Offsets(*(column[:number] + [each + by for each in column[number:]] for column in self))


class Layout:
    """The sections of a text, and the line of any key in it."""

    def __init__(self, text: str, headers: Headers | None = None, offsets: Offsets | None = None) -> None:
        self.text = text
        self._kept: dict[tuple[int, Path], dict[str | int, list[Statement]]] = {}
        if headers is None or offsets is None:
            headers, offsets = _read_headers(text, 0, len(text))
        self.headers, self._offsets = headers, offsets

    def edited(self, text: str) -> Layout | None:
        """The layout of a text that differs from this one in the body of one section, that section alone read again;
        None where it differs elsewhere."""
        old, offsets = self.text, self._offsets
        by = len(text) - len(old)
        first = _alike(old, text)
        after = len(old) - _alike_at_the_end(old, text, min(len(old), len(text)) - first)
        number = bisect_right(offsets.body, first) - 1
        if number < 0:
            return None
        start, is_last = offsets.start[number], number + 1 == len(offsets.start)
        # The next header's line comes along: the comments above it may begin elsewhere now.
        end = len(old) if is_last else offsets.body[number + 1]
        if after > (end if is_last else offsets.start[number + 1]):
            return None
        headers, found = _read_headers(text, start, end + by)
        skipped = 0 if number == 0 else 1
        if len(headers.paths) - skipped != (1 if is_last else 2) or (number and found.start[1] != start):
            return None
        moved = offsets.moved(number + 1, by)
        moved.last[number] = found.last[skipped]
        if not is_last:
            moved.lead[number + 1] = found.lead[skipped + 1]
            if moved.start[number + 1] != found.start[skipped + 1]:
                return None
        return Layout(text, self.headers, moved)

    def section(self, number: int) -> Section:
        """One section."""
        offsets, count = self._offsets, len(self._offsets.lead)
        end = offsets.lead[number + 1] if number + 1 < count else len(self.text)
        return Section(self.headers.paths[number], self.headers.arrays[number], offsets.lead[number],
                       offsets.start[number], offsets.body[number], min(offsets.last[number], end), end)

    @cached_property
    def sections(self) -> list[Section]:
        """The sections in the order of the text; the first is the one before any header."""
        return [self.section(number) for number in range(len(self.headers.paths))]

    def names(self, kind: str) -> dict[str | int, None]:
        """The names of the parts of a kind that have headers, in the order of the text."""
        return self.headers.names.get(kind, {})

    def at(self, path: Path) -> list[Section]:
        """The sections whose header is just this path."""
        return [self.section(number) for number in self.headers.by_path.get(path, ())]

    def under(self, path: Path) -> list[Section]:
        """The sections at or below a path, in the order of the text."""
        return [self.section(number) for number in self.headers.below.get(path, ())] if path else self.sections[1:]

    def holder(self, path: Path) -> tuple[Path, Statement] | None:
        """The statement that writes a path or something around it, and that statement's own path."""
        for length in range(len(path)):
            for section in self.at(path[:length]):
                for statement in self._statements(section).get(path[length], ()):
                    rest = path[length:]
                    if _common(statement.key, rest) == len(statement.key):
                        return (*path[:length], *statement.key), statement
        return None

    def dotted(self, path: Path) -> list[tuple[Section, Statement]]:
        """The statements whose dotted keys lead through a path to something below it."""
        return [
            (section, statement)
            for length in range(len(path))
            for section in self.at(path[:length])
            for statement in self._statements(section).get(path[length], ())
            if len(statement.key) > len(path) - length and _common(statement.key, path[length:]) == len(path) - length
        ]

    def value(self, path: Path) -> tuple[int, int] | None:
        """Offsets of the value written for a path; None if it is not written as one value."""
        held = self.holder(path)
        if held is None:
            return None
        reached, _, at = self._inside(held[1].value, path, len(held[0]), held[1].start)
        return (at, end_of_value(self.text, at)) if reached == len(path) else None

    def entry(self, path: Path) -> int | None:
        """Offset of the entry of an inline table or array that a path leads to; None if it is not in one."""
        held = self.holder(path)
        if held is None or held[0] == path:
            return None
        reached, where, _ = self._inside(held[1].value, path, len(held[0]), held[1].start)
        return where if reached == len(path) else None

    def line(self, path: Path) -> int:
        """Line, from 1, of a key; of the nearest thing around it if the key itself is not there; 0 for nothing."""
        best, offset = 0, -1
        for length in range(len(path) + 1):
            for section in self.at(path[:length]):
                if length > best:
                    best, offset = length, section.start
                for statement in self._statements(section).get(path[length], ()) if length < len(path) else ():
                    matched = _common(statement.key, path[length:])
                    reached, where = length + matched, statement.start
                    if matched == len(statement.key):
                        reached, where, _ = self._inside(statement.value, path, reached, where)
                    if reached > best:
                        best, offset = reached, where
        for length in range(len(path), best, -1):
            if path[:length] in self.headers.below:
                offset = self.section(self.headers.below[path[:length]][0]).start
                break
        return bisect_right(self._breaks, offset - 1) + 1 if offset >= 0 else 0

    @cached_property
    def _breaks(self) -> list[int]:
        return [found.start() for found in re.finditer("\n", self.text)]

    def _statements(self, section: Section) -> dict[str | int, list[Statement]]:
        """A section's statements by the first word of their keys; kept, since many problems may ask."""
        if (section.start, section.path) not in self._kept:
            grouped: dict[str | int, list[Statement]] = {}
            for statement in statements(self.text, section.body, section.end):
                grouped.setdefault(statement.key[0], []).append(statement)
            self._kept[section.start, section.path] = grouped
        return self._kept[section.start, section.path]

    def _inside(self, value: int, path: Path, reached: int, where: int) -> tuple[int, int, int]:
        """Follow the rest of a path into an array or inline table: how far it leads, offsets of entry and value."""
        while reached < len(path) and self.text[value : value + 1] in ("[", "{"):
            for key, start, inner in elements(self.text, value):
                if key == path[reached]:
                    reached, where, value = reached + 1, start, inner
                    break
            else:
                break
        return reached, where, value


_KEPT = 4
_layouts: dict[str, Layout] = {}


def layout_of(text: str) -> Layout:
    """The layout of a text; the last few are kept, since one edit asks several times and the next differs little."""
    found = _layouts.pop(text, None)
    if found is None and _layouts:
        found = next(reversed(_layouts.values())).edited(text)
    if found is None:
        found = Layout(text)
    _layouts[text] = found
    while len(_layouts) > _KEPT:
        _layouts.pop(next(iter(_layouts)))
    return found


def _read_headers(text: str, at: int, end: int) -> tuple[Headers, Offsets]:
    """Headers between two offsets, the first of which begins a line; before them the keys that have no header."""
    paths: list[Path] = [()]
    arrays = [False]
    leads, starts, bodies, lasts = [at], [at], [at], [at]
    counts: dict[Path, int] = {}
    lead, attached = -1, True
    while at < end:
        line_end = _line_end(text, at)
        mark = text[at:line_end].lstrip()[:1]
        if mark == "[":
            path, array = _header(text, at, counts)
            paths.append(path)
            arrays.append(array)
            leads.append(at if lead < 0 else lead)
            starts.append(at)
            bodies.append(line_end)
            lasts.append(line_end)
            lead, attached = -1, True
        elif mark == "#":
            lead = at if lead < 0 else lead
            if attached:
                lasts[-1] = line_end
        elif mark == "":
            lead, attached = -1, False
        else:
            if not _SIMPLE.match(text, at):
                line_end = _line_end(text, end_of_value(text, value_start(text, at)[1]))
            lasts[-1] = line_end
            lead, attached = -1, True
        at = line_end
    return Headers(paths, arrays), Offsets(leads, starts, bodies, lasts)


def _header(text: str, at: int, counts: dict[Path, int]) -> tuple[Path, bool]:
    while text[at] != "[":
        at += 1
    array = text[at + 1 : at + 2] == "["
    key, _ = read_key(text, at + 2 if array else at + 1)
    path: Path = ()
    for index, name in enumerate(key):
        path = (*path, name)
        if array and index == len(key) - 1:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
    return path, array


def _alike(one: str, other: str) -> int:
    """Length of what two texts have in common at the start."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def _alike_at_the_end(one: str, other: str, most: int) -> int:
    """Length of what two texts have in common at the end, up to `most`."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if one[len(one) - middle : len(one) - low] == other[len(other) - middle : len(other) - low]:
            low = middle
        else:
            high = middle - 1
    return low


def _common(key: tuple[str, ...], rest: Path) -> int:
    count = 0
    for mine, theirs in zip(key, rest, strict=False):
        if mine != theirs:
            break
        count += 1
    return count
