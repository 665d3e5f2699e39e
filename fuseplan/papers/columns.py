"""What a column is, and the columns of the circuits table: one list for command line, screens, papers, golden files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Generic, Literal, TypeVar

from fuseplan.papers.harmless import shown
from fuseplan.plan.part_names import part_name
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.part import Figure

if TYPE_CHECKING:
    from fuseplan.checks.judged_circuit import JudgedCircuit
    from fuseplan.plan.fuse_boxes import BoxPosition
    from fuseplan.results.fuse import FuseResult

VERDICT_WORDS = {"ok": "✓ ok", "measure": "◐ measure", "fails": "✗ FAILS", "unknown": "? unknown"}
"""Sign and word, so that a verdict never rests on colour alone."""
VERDICT_ORDER = {"fails": 0, "unknown": 1, "measure": 2, "ok": 3}
"""The worst first."""

PROPOSED = "*"
PROPOSED_NOTE = "* proposed: no rating is entered"

Order = tuple[int, float, str]
"""Sorts numbers before texts, and what is not known last."""
View = TypeVar("View")


@dataclass(frozen=True)
class Column(Generic[View]):
    """One column of a table of views."""

    key: str
    heading: str
    short: str
    align: Literal["left", "right"]
    rank: int
    """How soon it is left out where there is no room: 0 never, the highest first."""
    cell: Callable[[View], str]
    """Plain text on one line, control characters spelled out."""
    role: Callable[[View], str] | None = None
    """What a colour may stress: a verdict or a level. The cell says the same in words."""
    brief: Callable[[View], str] | None = None
    """What stands in place of a cell that there is no room for on one line."""


def of_figure(figure: Figure[Any], key: str, heading: str, short: str, rank: int) -> Column[Any]:
    """The column of a declared figure of the row's part: written as it is declared."""
    def cell(view: Any) -> str:
        value = figure.fget(view)
        return writing.UNKNOWN if value is None else figure.written(value)

    return Column(key, heading, short, "right", rank, cell)


def _feed_id(view: JudgedCircuit) -> str:
    return shown((view.circuit.feed or "").replace("_", " "))


def _feed(view: JudgedCircuit) -> str:
    return shown(part_name(view.solved.plan, ("feed", view.circuit.feed))) if view.circuit.feed else writing.UNKNOWN


def fuse_words(fuse: FuseResult | None, unfused: bool = False) -> str:
    """Rating and colour word of a fuse, ``15 blue``; a proposed rating carries a star: ``15 blue*``."""
    if fuse is None:
        return "unfused" if unfused else writing.NONE
    if fuse.rating_a is None:
        return writing.UNKNOWN
    words = f"{writing.stated(fuse.rating_a)} {fuse.colour}" if fuse.colour else writing.rating(fuse.rating_a)
    return words if fuse.entered else words + PROPOSED


def takes_words(part: BoxPosition) -> str:
    """What a position of a fuse box takes: ``up to 20 A mini``; empty where the plan does not say."""
    return " ".join(filter(None, ("" if part.largest is None else f"up to {writing.rating(float(part.largest))}",
                                  part.kind)))


def range_words(fuse: FuseResult | None) -> str:
    """The fuse range, ``9.8–20.4``."""
    return writing.NONE if fuse is None else writing.fuse_range(fuse.range_a.low, fuse.range_a.high)


def _drop(view: JudgedCircuit) -> str:
    drop = view.drop
    if drop is None:
        return writing.UNKNOWN
    return writing.drop(drop.judged_v, drop.limit_v)


def _relay(view: JudgedCircuit) -> str:
    if view.circuit.relay is not None:
        return "fitted"
    if view.circuit.out_of_scope is not None or not view.current_known:
        return writing.UNKNOWN
    return "NEEDED" if view.relay_need[0] else "no"


COLUMNS: tuple[Column[JudgedCircuit], ...] = (
    Column("name", "Circuit", "Circuit", "left", 0, lambda view: shown(view.name)),
    Column("feed", "Feed", "Feed", "left", 3, _feed, brief=_feed_id),
    Column("design", "Load current", "Load", "right", 0, lambda view: writing.burden(view.load_a, "A")),
    Column("fuse", "Fuse", "Fuse", "left", 0, lambda view: fuse_words(view.fuse, view.is_unfused)),
    Column("window", "Fuse range, A", "Range", "right", 1, lambda view: range_words(view.fuse)),
    Column("wire", "Wire", "Wire", "left", 2, lambda view: writing.wire_size(shown(view.wire)) or writing.UNKNOWN),
    Column("drop", "Drop/limit", "Drop", "right", 4, _drop),
    Column("relay", "Relay", "Relay", "left", 5, _relay),
    Column("verdict", "Verdict", "Verdict", "left", 0, lambda view: VERDICT_WORDS[view.verdict],
           role=lambda view: view.verdict),
)

BY_KEY = {column.key: column for column in COLUMNS}


def _by_number(value: float | None) -> Order:
    """Order of a figure; what is not known comes last."""
    return (1, 0.0, "") if value is None else (0, value, "")


def _by_text(text: str) -> Order:
    """Order of a text, capitals alike."""
    return (0, 0.0, text.casefold())


def _range_order(view: JudgedCircuit) -> Order:
    """By how far load and wire are apart, the tightest first."""
    fuse = view.fuse
    if fuse is None or fuse.range_a.low is None or fuse.range_a.high is None:
        return _by_number(None)
    return _by_number(fuse.range_a.high - fuse.range_a.low)


def _wire_order(view: JudgedCircuit) -> Order:
    sizes = [segment.size_mm2 for segment in view.segments if segment.side == "supply" and segment.size_mm2 is not None]
    return _by_number(min(sizes, default=None))


ORDERS: Mapping[str, Callable[[JudgedCircuit], Order]] = {
    "name": lambda view: _by_text(view.name), "feed": lambda view: _by_text(_feed(view)),
    "design": lambda view: _by_number(view.load_a),
    "fuse": lambda view: _by_number(view.fuse.rating_a if view.fuse else None), "window": _range_order,
    "wire": _wire_order, "drop": lambda view: _by_number(view.drop.judged_v if view.drop else None),
    "relay": lambda view: _by_text(_relay(view)),
    "verdict": lambda view: _by_number(float(VERDICT_ORDER[view.verdict])),
}
"""What the circuits are sorted by, for each column."""
