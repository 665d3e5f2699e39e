"""Texts of forms that the plan did not take, kept in step when parts are renamed, removed or moved."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from fuseplan.plan.references import Path
from fuseplan.session.session import Session

Kept = TypeVar("Kept")


def forget(session: Session, under: Path) -> None:
    """Drop every text kept under a path, and the path's own."""
    _rekey(session, lambda path: None if path[: len(under)] == under else path)


def renamed(session: Session, old: Path, new: Path) -> None:
    """Follow a part to its new path."""
    _rekey(session, lambda path: (*new, *path[len(old):]) if path[: len(old)] == old else path)


def reordered(session: Session, items: Path, place: Callable[[int], int | None]) -> None:
    """Follow the items of a list; `place` gives an item's new position, None for one that is gone."""

    def follow(path: Path) -> Path | None:
        at = len(items)
        if path[:at] != items or len(path) <= at or not isinstance(path[at], int):
            return path
        position = place(int(path[at]))
        return None if position is None else (*items, position, *path[at + 1:])

    _rekey(session, follow)


def count(session: Session, under: Path) -> int:
    """Number of texts kept under a path."""
    return sum(path[: len(under)] == under for path in session.drafts)


def _rekey(session: Session, follow: Callable[[Path], Path | None]) -> None:
    session.drafts = _moved(session.drafts, follow)
    session.messages = _moved(session.messages, follow)
    session.opened = set(_moved(dict.fromkeys(session.opened), follow))


def _moved(kept: dict[Path, Kept], follow: Callable[[Path], Path | None]) -> dict[Path, Kept]:
    return {new: value for path, value in kept.items() if (new := follow(path)) is not None}
