"""One plan judged by several sets of limits at once: what each says of every circuit, where they disagree, and why.

The reasons are read off the sets' own data and the figures they led to, never written for a circuit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any, Literal

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.differences import reasons, tightest_wire
from fuseplan.checks.judged_circuit import JudgedCircuit, Verdict
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.stock import in_range
from fuseplan.limits import LimitSet, limit_set, names
from fuseplan.plan.model import Plan
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Cell:
    """What one set of limits says of one circuit. Currents in A, drops in V, None where not known or not on file."""

    limit_set: str
    verdict: Verdict
    load_current_a: float | None
    fuse_kind: str | None
    fuse_a: float | None
    """Rating in the plan, or the one this set of limits proposes where the plan leaves it out."""
    fuse_entered: bool
    proposed_a: float | None
    """Smallest standard rating inside this set's fuse range."""
    range_a: tuple[float | None, float | None]
    """Smallest fuse for the load, largest for the wire."""
    wire: str
    wire_limit_a: float | None
    """Smallest ampacity of the circuit's supply wires; None where one of them is not on file."""
    wire_place: str | None
    drop_v: float | None
    """The voltage drop the limit is for: supply side, or both sides."""
    drop_limit_v: float | None
    checks: tuple[str, ...]
    """Checks that did not pass, advice left out."""
    silent: tuple[str, ...]
    """What the set of limits has nothing on file for."""

    @property
    def answers(self) -> bool:
        """The set has a limit on file for everything in the circuit."""
        return not self.silent

    @property
    def fuse_fits(self) -> bool | None:
        """The rating lies inside the fuse range; None where rating or range is not known."""
        low, high = self.range_a
        if self.fuse_a is None or low is None or high is None:
            return None
        return in_range(self.fuse_a, low, high)


@dataclass(frozen=True)
class Row:
    """One circuit under every set of limits, in the order of `SideBySide.limit_set`."""

    id: str
    name: str
    cells: tuple[Cell, ...]
    disagree: bool
    """The verdicts differ, or what each says of the fuse."""
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Stricter:
    """One limit of another set that is stricter than that of the chosen one. In A, of a voltage drop in V."""

    circuit: str
    name: str
    limit_set: str
    what: Literal["largest fuse", "ampacity", "voltage drop"]
    limit: float
    chosen: float
    """The chosen set's."""


@dataclass(frozen=True)
class SideBySide:
    """Circuits × sets of limits."""

    plan: str | None
    limit_set: tuple[LimitSet, ...]
    assessments: tuple[Assessment, ...]
    rows: tuple[Row, ...]

    @property
    def chosen(self) -> int:
        """Number of the set the plan is checked against; of the first where that is not among them."""
        wanted = self.assessments[0].plan.vehicle.limits
        return next((number for number, each in enumerate(self.limit_set) if each.name == wanted), 0)

    @property
    def answered(self) -> tuple[Row, ...]:
        """Circuits for which a second set has an answer; all of them where only one set was asked."""
        return tuple(row for row in self.rows if len(row.cells) == 1 or sum(each.answers for each in row.cells) > 1)

    @property
    def stricter(self) -> tuple[Stricter, ...]:
        """Where the chosen set is not the strictest, circuit by circuit; only sets that have an answer count."""
        return tuple(each for row in self.rows for each in _stricter(row, self.chosen))

    @property
    def disagreements(self) -> int:
        """Number of circuits on which the sets of limits disagree."""
        return sum(row.disagree for row in self.rows)

    def to_dict(self) -> dict[str, Any]:
        """The comparison as plain dictionaries, lists, strings and numbers; None for what is not known."""
        return {
            "plan": self.plan,
            "limits": [{"name": each.name, "title": each.title, "words": each.words} for each in self.limit_set],
            "chosen": self.limit_set[self.chosen].name,
            "stricter": [asdict(each) for each in self.stricter],
            "disagreements": self.disagreements,
            "circuits": [{"id": row.id, "name": row.name, "disagree": row.disagree, "reasons": list(row.reasons),
                          "by": {cell.limit_set: _plain(cell) for cell in row.cells}} for row in self.rows],
        }


def _plain(cell: Cell) -> dict[str, Any]:
    return {("limits" if key == "limit_set" else key): value for key, value in asdict(cell).items()} | {
        "checks": list(cell.checks), "silent": list(cell.silent)}


def side_by_side(plan: Plan, by: Sequence[str | LimitSet] | None = None) -> SideBySide:
    """Judge a plan by several sets of limits.

    Args:
        by: names of shipped sets of limits, or sets already read; all that are shipped where left out
    Raises:
        LimitsError: A set of limits is not on file.
    """
    chosen = tuple(each if isinstance(each, LimitSet) else limit_set(each) for each in by or names())
    assessments = tuple(assess(plan, each) for each in chosen)
    rows = []
    for views in zip(*(each.circuits for each in assessments), strict=True):
        cells = tuple(_cell(view) for view in views)
        disagree = _disagree(cells)
        rows.append(Row(views[0].id, views[0].name, cells, disagree, reasons(views) if disagree else ()))
    return SideBySide(plan.vehicle.name, chosen, assessments, tuple(rows))


def _stricter(row: Row, chosen: int) -> Iterator[Stricter]:
    """What each other set that has an answer allows less of than the chosen one."""
    mine = row.cells[chosen]
    if not mine.answers:
        return
    for cell in row.cells:
        if cell is mine or not cell.answers:
            continue
        pairs: tuple[tuple[Literal["largest fuse", "ampacity", "voltage drop"], float | None, float | None], ...] = (
            ("largest fuse", cell.range_a[1], mine.range_a[1]), ("ampacity", cell.wire_limit_a, mine.wire_limit_a),
            ("voltage drop", cell.drop_limit_v, mine.drop_limit_v))
        for what, theirs, own in pairs:
            if theirs is not None and own is not None and falls_short(theirs, own):
                yield Stricter(row.id, row.name, cell.limit_set, what, theirs, own)


def _cell(view: JudgedCircuit) -> Cell:
    fuse, drop, tightest = view.fuse, view.drop, tightest_wire(view)
    supply = [each for each in view.segments if each.side == "supply"]
    return Cell(
        limit_set=view.assessment.limit_set.name, verdict=view.verdict, load_current_a=view.load_a,
        fuse_kind=fuse.kind if fuse else None, fuse_a=fuse.rating_a if fuse else None,
        fuse_entered=bool(fuse and fuse.entered), proposed_a=fuse.proposed_a if fuse else None,
        range_a=(fuse.range_a.low, fuse.range_a.high) if fuse else (None, None), wire=view.wire,
        wire_limit_a=tightest.ampacity_a if tightest and all(each.ampacity_a is not None for each in supply) else None,
        wire_place=tightest.place if tightest else None, drop_v=drop.judged_v if drop else None,
        drop_limit_v=drop.limit_v if drop else None,
        checks=tuple(dict.fromkeys(finding.check for finding in view.findings if finding.level != "advice")),
        silent=view.assessment.unlisted(view.id),
    )


def _disagree(cells: Sequence[Cell]) -> bool:
    """The verdicts differ, or the fuse: what is fitted suits some fuse ranges and not others, or other ratings are
    proposed. A set of limits that has nothing on file has no opinion."""
    heard = [cell for cell in cells if not cell.silent]
    if len({cell.verdict for cell in heard}) > 1:
        return True
    if any(cell.fuse_entered for cell in heard):
        return len({cell.fuse_fits for cell in heard} - {None}) > 1
    return len({cell.proposed_a for cell in heard}) > 1
