"""The feeds and the earth points on the way from a part to the battery."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fuseplan.plan.model import Plan


def way_to(plan: Plan, name: str | None) -> Iterator[str]:
    """A feed and those it comes from, up to the battery."""
    feeds, seen = plan.feed, set[str]()
    while name is not None and name in feeds and name not in seen:
        seen.add(name)
        yield name
        name = feeds[name].upstream


def way_back(plan: Plan, name: str | None) -> Iterator[str]:
    """An earth point and those it leads to, down to the battery."""
    earths, seen = plan.earth, set[str]()
    while name is not None and name in earths and name not in seen:
        seen.add(name)
        yield name
        name = earths[name].upstream
