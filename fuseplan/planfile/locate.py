"""Where things stand in the text of a TOML file: its sections, its statements, the line of any key.

Only for text that a TOML reader has accepted; used for the line numbers of problems and for edits, never to
read values.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property

from fuseplan.grouping import grouped
from fuseplan.plan.references import Path
from fuseplan.planfile.sections import Headers, Offsets, Section, read_headers
from fuseplan.planfile.toml_text import Statement, elements, end_of_value, statements


class Layout:
    """The sections of a text, and the line of any key in it."""

    def __init__(self, text: str, headers: Headers | None = None, offsets: Offsets | None = None) -> None:
        self.text = text
        self._kept: dict[tuple[int, Path], dict[str | int, list[Statement]]] = {}
        if headers is None or offsets is None:
            headers, offsets = read_headers(text, 0, len(text))
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
        headers, found = read_headers(text, start, end + by)
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
        found = self._found(path)
        return None if found is None else (found[1], end_of_value(self.text, found[1]))

    def entry(self, path: Path) -> int | None:
        """Offset of what writes a path: of its statement, or of its entry in an inline table or array; None if it is
        not written as one value."""
        found = self._found(path)
        return None if found is None else found[0]

    def _found(self, path: Path) -> tuple[int, int] | None:
        """Offsets of the statement or entry that writes a path, and of its value."""
        held = self.holder(path)
        if held is None:
            return None
        reached, where, at = self._inside(held[1].value, path, len(held[0]), held[1].start)
        return (where, at) if reached == len(path) else None

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
            self._kept[section.start, section.path] = grouped(
                (each.key[0], each) for each in statements(self.text, section.body, section.end))
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
