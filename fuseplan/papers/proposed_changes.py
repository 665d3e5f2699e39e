"""The changes of a proposal as rows: whose part, what it is now, what is to be fitted, and why in a few words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from fuseplan.advice.reasons import asks_for_reading
from fuseplan.checks.rule import all_rules
from fuseplan.engine.stock import NOT_IN_STOCK
from fuseplan.papers.columns import Column
from fuseplan.papers.harmless import shown
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import part_kind_words
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Change, Proposal
    from fuseplan.plan.model import Plan

KEYS = {"wire": "wire", "earth_wire": "earth wire", "cable": "alternator cable", "fuse": "fuse", "relay": "relay",
        "load": "load", "wire_86": "coil wire 86", "wire_85": "coil wire 85", "coil_feed": "coil feed",
        "second_battery": "second battery"}


def part_words(change: Change) -> str:
    """The part of the circuit or feed that changes: ``wire 2 size``, ``load 1 earth wire 1 size``."""
    words = []
    for step in change.path[1 if change.path[0] == "alternator" else 2:]:
        words.append(str(step + 1) if isinstance(step, int) else KEYS.get(step, step))
    return " ".join(words) or f"new {part_kind_words(str(change.path[0]))}"


def subject_words(change: Change, plan: Plan) -> str:
    """Whose part it is, by its name: ``Radiator fans``, ``circuit fans`` where it has none, ``alternator``."""
    kind = str(change.path[0])
    name = title_of(plan, kind, change.subject)
    if kind == "alternator":
        return name
    return f"{part_kind_words(kind)} {name}" if name == change.subject else name


def now_words(change: Change) -> str:
    """The value as it stands in the plan."""
    return "not given" if change.old is None else writing.wire_size(shown(change.old))


def new_words(change: Change) -> str:
    """What is to be fitted."""
    return writing.wire_size(shown(change.new_words)) + ("" if change.in_stock else NOT_IN_STOCK)


COLUMNS: tuple[Column[Change], ...] = (
    Column("part", "Part", "Part", "left", 0, part_words),
    Column("now", "Now", "Now", "left", 0, now_words),
    Column("new", "Fit", "Fit", "left", 0, new_words),
    Column("check", "Forced by", "Forced by", "left", 0, lambda change: change.check),
    Column("why", "Because", "Because", "left", 1, lambda change: shown(change.why)),
)


def reason_words(change: Change) -> str:
    """Why a value changes, in a few words: what the check it is for finds."""
    if change.old is None and change.path[-1] == "rating" and change.check == "fuse-too-small":
        return "no rating entered: suits load and wire" + (f"; {change.aside}" if change.aside else "")
    if change.brief:
        return change.brief
    words = all_rules()[change.check].title.lower() if change.check in all_rules() else change.check.replace("-", " ")
    return words + MEASURE_FIRST if asks_for_reading(change.why) else words


MEASURE_FIRST = "; measure first"
"""Added to the reason of what no current asks for as it is entered."""


def where_column(plan: Plan) -> Column[Change]:
    """Whose part each change is, as the plan names it."""
    return Column("subject", "Where", "Where", "left", 0, lambda change: shown(subject_words(change, plan)))


BRIEF: tuple[Column[Change], ...] = (*COLUMNS[:3], Column("reason", "Reason", "Reason", "left", 0, reason_words))
"""One line a change: before, after, and the reason in a few words."""
JOINED_FROM = 4
"""So many parts with one reason are joined under it."""


def joined_by_reason(proposal: Proposal, full: bool = False) -> tuple[list[Change], dict[str, list[Change]]]:
    """Changes whose reason stands in their row, and those of `JOINED_FROM` parts or more under the one reason they
    share, both in the order of the plan. What changes in one part stays together: a fuse is not parted from the wire
    that goes with it."""
    order = list(proposal.after.plan.circuit)
    changes = sorted(proposal.changes, key=lambda each: _place(order, each))
    reasons: dict[tuple[str, str], set[str]] = {}
    for each in changes:
        reasons.setdefault(_owner(each), set()).add(reason_words(each))
    shared = Counter(reason for found in reasons.values() if len(found) == 1 for reason in found)
    rows: list[Change] = []
    joined: dict[str, list[Change]] = {}
    for each in changes:
        reason = reason_words(each)
        is_joined = not full and len(reasons[_owner(each)]) == 1 and shared[reason] >= JOINED_FROM
        (joined.setdefault(reason, []) if is_joined else rows).append(each)
    return rows, joined


def joined_words(reason: str, same: Sequence[Change]) -> str:
    """What stands above changes with one reason."""
    return f"{len(same)} with the same reason · {shown(reason)}"


def _owner(change: Change) -> tuple[str, str]:
    return str(change.path[0]), change.subject


def _place(order: list[str], change: Change) -> tuple[int, int]:
    kind, name = change.path[0], change.subject
    return (["circuit", "feed", "earth", "alternator"].index(str(kind)), order.index(name) if name in order else 0)
