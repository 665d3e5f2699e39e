"""Paragraphs as plain text of a given width, counted in columns of a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from fuseplan.papers.harmless import width
from fuseplan.quantities.tied import TIE, tied, untied

Paint = Callable[[str, str], str]
"""(text, role) -> text; adds colour on a terminal, nothing elsewhere. What it stresses is said in words as well."""
LONG_NAME = 36
"""Columns a name takes at most where lines are few."""
_LEAST_ENDS = 10
"""Columns from which on both ends of a name are shown."""


def unpainted(text: str, role: str) -> str:
    """No colour."""
    return text


def wrap(text: str, columns: int, first: int | None = None) -> list[str]:
    """A text in lines of at most `columns`, the first of at most `first`, broken at blanks, and inside a word only
    where it is longer than a line.

    A number and its unit are one word where a line has room for both.
    """
    lines: list[str] = []
    line, taken, size = "", 0, columns if first is None else first
    for word in words(text, columns):
        wide = width(word)
        while wide > columns:
            room = size - (taken + 1 if line else 0)
            if (line or not lines) and room < columns // 2:
                lines.append(line)
                line, taken, size = "", 0, columns
                continue
            head = _head(word, max(room, 1))
            lines.append(f"{line} {head}".strip())
            line, taken, size, word = "", 0, columns, word[len(head):]
            wide = width(word)
        if taken + bool(line) + wide > size:
            lines.append(line)
            line, taken, size = "", 0, columns
        line, taken = (f"{line} {word}", taken + 1 + wide) if line else (word, wide)
    return [untied(each) for each in ([*lines, line] if line or not lines else lines)]


def words(text: str, columns: int) -> Iterator[str]:
    """The words of a text, a number tied to its unit where both fit on a line."""
    for word in tied(" ".join(text.split())).split(" "):
        yield from (word,) if width(word) <= columns else word.split(TIE)


def _head(word: str, columns: int) -> str:
    """As many leading characters as fit, at least one; up to the last ``_``, ``-`` or ``/`` where one is in the second
    half of them, as an id or a file's path is then still read."""
    taken = 0
    for end, character in enumerate(word):
        taken += width(character)
        if taken > columns:
            head = word[: max(end, 1)]
            joint = max(map(head.rfind, "_-/")) + 1
            return head[:joint] if joint * 2 >= len(head) else head
    return word


def paragraph(text: str, columns: int, first: str = "", rest: str | None = None) -> list[str]:
    """A text folded to `columns`, its first line after `first`, the others indented by `rest`."""
    indent = " " * width(first) if rest is None else rest
    size = max(columns - width(indent), 20)
    lines = wrap(text, size, size + width(indent) - width(first))
    return [f"{indent if number else first}{line}".rstrip() for number, line in enumerate(lines)]


def heading_lines(text: str, columns: int, paint: Paint, role: str = "heading") -> list[str]:
    """A heading below a blank line, folded as a paragraph."""
    return ["", *(paint(line, role) for line in paragraph(text, columns, "", "  "))]


def shortened(name: str, columns: int = LONG_NAME, measure: Callable[[str], int] = width) -> str:
    """A name in so many columns, cut in the middle: names of a car often differ only at their ends, left and right."""
    if measure(name) <= columns:
        return name
    if columns <= 0:
        return ""
    end = (columns - 1) // 3 if columns >= _LEAST_ENDS else 0
    head, tail = name[:columns - 1 - end], name[len(name) - end:].lstrip()
    while measure(head) > columns - 1 - end:
        head = head[:-1]
    while measure(tail) > end:
        tail = tail[1:]
    return f"{head.rstrip()}…{tail}"


def joined_parts(parts: Iterable[Sequence[str]]) -> str:
    """The parts of a report as one text, a blank line between them; what has no lines is left out."""
    return "\n\n".join("\n".join(lines) for lines in parts if lines) + "\n"
