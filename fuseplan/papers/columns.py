"""The columns of the circuits table, once for the command line, the screens, the papers and the golden files."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from fuseplan.checks.views import CircuitView
from fuseplan.papers import numbers
from fuseplan.papers.harmless import shown

VERDICT_WORDS = {"ok": "✓ ok", "measure": "◐ measure", "fails": "✗ FAILS", "unknown": "? unknown"}
"""Sign and word, so that a verdict never rests on colour alone."""
VERDICT_ORDER = {"fails": 0, "unknown": 1, "measure": 2, "ok": 3}
"""The gravest first."""

Order = tuple[int, float, str]
"""Sorts numbers before texts, and what is not known last."""


@dataclass(frozen=True)
class Column:
    """One column of the circuits table."""

    key: str
    heading: str
    short: str
    align: Literal["left", "right"]
    rank: int
    """How soon it is left out where there is no room: 0 never, the highest first."""
    cell: Callable[[CircuitView], str]
    """Plain text on one line, control characters spelled out."""
    order: Callable[[CircuitView], Order]
    """What rows are sorted by."""


def _by_number(value: float | None) -> Order:
    return (1, 0.0, "") if value is None else (0, value, "")


def _by_text(text: str) -> Order:
    return (0, 0.0, text.casefold())


def _feed(view: CircuitView) -> str:
    return shown(view.circuit.feed.replace("_", " ")) if view.circuit.feed else numbers.UNKNOWN


def _fuse(view: CircuitView) -> str:
    fuse = view.fuse
    if fuse is None:
        return "unfused" if view.circuit.unfused else numbers.NONE
    if fuse.rating_a is None:
        return numbers.UNKNOWN
    words = f"{fuse.rating_a:g} {fuse.colour}" if fuse.colour else numbers.rating(fuse.rating_a)
    return words if fuse.entered else f"{words}, proposed"


def _window(view: CircuitView) -> str:
    fuse = view.fuse
    return numbers.NONE if fuse is None else numbers.window(fuse.low_a, fuse.high_a)


def _drop(view: CircuitView) -> str:
    drop = view.drop
    return numbers.UNKNOWN if drop is None else numbers.drop(drop.volts, drop.limit_v)


def _relay(view: CircuitView) -> str:
    if view.circuit.relay is not None:
        return "fitted"
    if view.circuit.out_of_scope is not None or not view.current_known:
        return numbers.UNKNOWN
    return "NEEDED" if view.relay_need[0] else "no"


def _fuse_order(view: CircuitView) -> Order:
    return _by_number(view.fuse.rating_a if view.fuse else None)


def _window_order(view: CircuitView) -> Order:
    """By the room between load and wire, the tightest first."""
    fuse = view.fuse
    if fuse is None or fuse.low_a is None or fuse.high_a is None:
        return _by_number(None)
    return _by_number(fuse.high_a - fuse.low_a)


def _wire_order(view: CircuitView) -> Order:
    sizes = [segment.size_mm2 for segment in view.segments if segment.side == "supply" and segment.size_mm2 is not None]
    return _by_number(min(sizes, default=None))


def _drop_order(view: CircuitView) -> Order:
    return _by_number(view.drop.volts if view.drop else None)


COLUMNS: tuple[Column, ...] = (
    Column("name", "Circuit", "Circuit", "left", 0, lambda view: shown(view.name), lambda view: _by_text(view.name)),
    Column("feed", "Feed", "Feed", "left", 3, _feed, lambda view: _by_text(view.circuit.feed or "")),
    Column("design", "Design current", "Design", "right", 0, lambda view: numbers.amps(view.design_a),
           lambda view: _by_number(view.design_a)),
    Column("fuse", "Fuse", "Fuse", "left", 0, _fuse, _fuse_order),
    Column("window", "Fuse window, A", "Window", "right", 1, _window, _window_order),
    Column("wire", "Wire", "Wire", "left", 2,
           lambda view: shown(view.wire_words).replace("mm2", "mm²") or numbers.UNKNOWN, _wire_order),
    Column("drop", "Drop", "Drop", "right", 4, _drop, _drop_order),
    Column("relay", "Relay", "Relay", "left", 5, _relay, lambda view: _by_text(_relay(view))),
    Column("verdict", "Verdict", "Verdict", "left", 0, lambda view: VERDICT_WORDS[view.verdict],
           lambda view: _by_number(float(VERDICT_ORDER[view.verdict]))),
)

BY_KEY = {column.key: column for column in COLUMNS}
