"""The headers in the text of a TOML file, and where the sections below them stand."""

from __future__ import annotations

import re
from functools import cached_property
from typing import NamedTuple

from fuseplan.grouping import grouped
from fuseplan.plan.references import Path
from fuseplan.planfile.toml_text import after_line, end_of_value, read_key, value_start
from fuseplan.records import dataclass

_SIMPLE = re.compile(r'[ \t]*[A-Za-z0-9_-]+[ \t]*=[ \t]*(?:"[^"\\\n]*"|[^"\'\[\]{}#\n]+)[ \t]*(?:#[^\n]*)?(?:\n|\Z)')
"""A statement that ends on its own line for sure; spares the close look."""


class Section(NamedTuple):
    """A header with its body, or the keys before the first header.

    Attributes:
        path: the header's keys, each array of tables followed by the position in it, from 0
        array: the header is one of an array of tables, ``[[...]]``
        lead: offset of the comment lines directly above the header, or of the header itself
        start: offset of the header's line
        body: offset of the line after the header
        last: offset after the last statement and the comments that follow it without a blank line
        end: `lead` of the next section, or the text's length
    """

    path: Path
    array: bool
    lead: int
    start: int
    body: int
    last: int
    end: int


@dataclass(frozen=True)
class Headers:
    """The headers of a text, wherever they stand; texts that differ only between headers share them."""

    paths: list[Path]
    arrays: list[bool]

    @cached_property
    def by_path(self) -> dict[Path, list[int]]:
        """Numbers of the sections whose header is just a path."""
        return grouped((path, number) for number, path in enumerate(self.paths))

    @cached_property
    def below(self) -> dict[Path, list[int]]:
        """Numbers of the sections at or below each path."""
        return grouped((path[:length], number) for number, path in enumerate(self.paths[1:], start=1)
                       for length in range(1, len(path) + 1))

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


def read_headers(text: str, at: int, end: int) -> tuple[Headers, Offsets]:
    """Headers between two offsets, the first of which begins a line; before them the keys that have no header."""
    paths: list[Path] = [()]
    arrays = [False]
    leads, starts, bodies, lasts = [at], [at], [at], [at]
    counts: dict[Path, int] = {}
    lead, attached = -1, True
    while at < end:
        line_end = after_line(text, at)
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
                line_end = after_line(text, end_of_value(text, value_start(text, at)[1]))
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
