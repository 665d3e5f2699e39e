"""The points of readings follow when the part they are on is renamed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fuseplan.plan.references import Path
from fuseplan.results.address import joined, split


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
