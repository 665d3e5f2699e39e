"""Names in a plan's text spelled anew, where they stand: of a part, and wherever it is named."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fuseplan.errors import EditError
from fuseplan.plan.references import Path, place
from fuseplan.planfile.locate import layout_of
from fuseplan.planfile.plain import key_text, literal
from fuseplan.planfile.toml_text import read_key
from fuseplan.results.address import joined, split

_COMPONENT = re.compile(r"""[ \t]*("(?:\\.|[^"\\\n])*"|'[^'\n]*'|[A-Za-z0-9_-]+)[ \t]*\.?""")


def rename_keys(text: str, path: Path, new: str) -> str:
    """The text with the last key of a path spelled anew in every header, dotted key and inline table it occurs in."""
    layout = layout_of(text)
    spots: list[tuple[int, int]] = []
    for section in layout.under(path):
        at = text.index("[", section.start) + (2 if section.array else 1)
        steps = [step for step in path if isinstance(step, str)]
        spots.append(_component(text, at, len(steps) - 1))
    for section, statement in layout.dotted(path):
        spots.append(_component(text, statement.start, len(path) - len(section.path) - 1))
    held = layout.holder(path)
    if held and held[0] == path:
        spots.append(_component(text, held[1].start, len(read_key(text, held[1].start)[0]) - 1))
    elif held and (entry := layout.entry(path)) is not None:
        spots.append(_component(text, entry, 0))
    if not spots:
        raise EditError(f"{place(path)} is written in one line with others; rename it in the file")
    for start, end in sorted(set(spots), reverse=True):
        text = text[:start] + key_text(new) + text[end:]
    return text


def _component(text: str, at: int, index: int) -> tuple[int, int]:
    """Offsets of one part of the dotted key that begins at an offset."""
    for _ in range(index + 1):
        found = _COMPONENT.match(text, at)
        if found is None:
            break
        at, span = found.end(), found.span(1)
    return span


def splice(text: str, changes: Sequence[tuple[Path, object]]) -> str:
    """Replace many single values at once; each must be written as one value."""
    layout = layout_of(text)
    spots: list[tuple[int, int, str]] = []
    for path, value in changes:
        span = layout.value(path)
        if span is None:
            raise EditError(f"{place(path)} is not written as one value; change it in the file")
        spots.append((*span, literal(value)))
    for start, end, written in sorted(spots, reverse=True):
        text = text[:start] + written + text[end:]
    return text


def readings_renamed(data: Mapping[str, Any], kind: str, old: str, new: str) -> Iterator[tuple[Path, str]]:
    """Every reading on a part of a plan, with its point by the part's new name."""
    found = data.get("reading")
    for number, reading in enumerate(found if isinstance(found, list) else ()):
        point = reading.get("point") if isinstance(reading, dict) else None
        if not isinstance(point, str):
            continue
        head, *rest = split(point)
        if head == kind and rest and rest[0] == old:
            yield ("reading", number, "point"), joined((head, new, *rest[1:]))
