"""The looms of the open plan: decide what becomes of a wire, make wires longer, keep the change log."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from functools import partial
from typing import Any

from fuseplan.checks.assessment import Assessment
from fuseplan.errors import EditError
from fuseplan.looms import change_log
from fuseplan.looms.extending import EVERY_SPLICE, Edit, Longer, edits, furthest_back, in_order, longer
from fuseplan.looms.probing import not_probed
from fuseplan.papers.columns import range_words
from fuseplan.papers.loom_columns import found_words
from fuseplan.plan.mating import normal
from fuseplan.plan.nets import GONE, Nets, PinId, pin_at, pins_of
from fuseplan.plan.part_names import in_words, pin_words
from fuseplan.plan.words import FATES
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import LENGTH, amount
from fuseplan.workspace.session import Session, judged

DISTANCE = LENGTH.within("10 mm", "20 m")
"""How far a connector is moved."""
FATE_WORDS = {
    "keep": "as it is", "extend": "it is made longer", "new": "a new wire is laid", "join": "joined to another wire",
    "cut_and_insulate": "cut off, its end insulated", "spare": "no wire, or one that is left over",
    "unknown": "not decided yet: blocks power"}
"""What each fate means, in the order of the plan's words."""


def join_choices(session: Session, at: PinId) -> list[tuple[PinId, str]]:
    """Pins whose wire a pin's wire may be joined to, with what is there in words: those with the same function first,
    then those of other looms. None of its own plug, of what it is joined to already, or of what is not to be spliced.
    """
    plan, nets = session.plan, Nets(session.plan)
    function, loom = normal(at.of(session.plan).function or ""), plan.connector[at.connector].loom
    own = set(nets.of(at).pins)
    found = [(there, connector, pin) for there, connector, pin in pins_of(plan)
             if there.connector != at.connector and there not in own and pin.fate not in GONE and pin.function
             and not not_probed(nets, there)]
    found.sort(key=lambda each: (normal(each[2].function or "") != function, each[1].loom == loom))
    return [(there, ", ".join(each for each in (pin.function, found_words(pin.size, pin.colour)) if each))
            for there, _, pin in found]


def set_fate(session: Session, at: PinId, fate: str, why: str = "", to: PinId | None = None) -> None:
    """Decide what becomes of a wire, and what it is joined to (left out: open), with a line in the change log where
    that changes it, in one step; raises EditError."""
    if fate not in FATES:
        raise EditError(f"'{fate}' is no fate of a wire; accepted are {', '.join(FATES)}")
    now = at.of(session.plan)
    changed: list[Edit] = [((*at.path, "fate"), fate)]
    if to is not None:
        changed.append(((*at.path, "join_to"), {"connector": to.connector, "pin": to.pin}))
    elif fate == "join" and now.join_to is not None:
        changed.append(((*at.path, "join_to"), None))
    is_logged = fate == now.fate and at in change_log.logged(session.plan) and (
        to is None or to == pin_at(session.plan, now.join_to))

    def change() -> None:
        session.document.change(changed)
        if fate in change_log.CHANGED and not is_logged:
            _log(session, [at], why)

    session.edit(f"{pin_words(session.plan, at)}: {fate.replace('_', ' ')}", change)


def write_log(session: Session) -> int:
    """A line in the change log for every changed wire that has none, in one step; how many. Raises EditError."""
    missing = [at for at, _ in change_log.unlogged(session.plan)]
    if missing:
        session.edit("write the change log", partial(_log, session, missing, ""))
    return len(missing)


def _log(session: Session, pins: Sequence[PinId], why: str) -> None:
    plan, day = session.document.plan, datetime.date.today().isoformat()
    lines = [change_log.line(plan, at, at.of(plan), day, why or None) for at in pins]
    held = session.document.snapshot().data.get("change", [])
    session.document.change([(("change",), [*held, *lines])])


class Lengthening:
    """Wires of one connector about to be made longer.

    Attributes:
        wires: how each is made longer
        words: what to see to, wire by wire, and what the longer way does to the circuits
    """

    def __init__(self, session: Session, pins: Sequence[PinId], typed: str) -> None:
        """Work it out; raises AmountError for a text that is no distance, EditError where it cannot be done."""
        self._session = session
        by_m = float(amount(typed, DISTANCE))
        self.wires = longer(session.plan, pins, by_m)
        document = copy(session.document)
        for each in in_order(self.wires):
            document.change(self._edits(each, document.snapshot().data))
        back = furthest_back(session.plan, self.wires)
        self.words = [EVERY_SPLICE, *([back] if back else []), *self._of_wires(),
                      *_effects(session.assessment, judged(document), self.wires)]

    def _edits(self, each: Longer, data: Mapping[str, Any]) -> list[Edit]:
        connector = self._session.plan.connector[each.at.connector]
        return edits(data, each, connector.pin[each.at.pin], connector.zone)

    def _of_wires(self) -> Iterator[str]:
        for each in self.wires:
            named = pin_words(self._session.plan, each.at)
            yield "; ".join((f"{named}: {writing.burden(each.length_m, 'm')} of new wire", *each.notes)) + "."

    def take(self, why: str = "") -> None:
        """Put it into the plan with a line in the change log for each wire, in one step; raises EditError."""
        session = self._session

        def change() -> None:
            for each in in_order(self.wires):
                session.document.change(self._edits(each, session.document.snapshot().data))
            _log(session, [each.at for each in self.wires], why)

        of = in_words(session.plan, "connector", self.wires[0].at.connector)
        session.edit(f"make {writing.counted(len(self.wires), 'wire')} of {of} longer", change)


def _effects(before: Assessment, after: Assessment, wires: Sequence[Longer]) -> Iterator[str]:
    """What the longer way does to each circuit: its drop, its fuse range, its verdict."""
    names = dict.fromkeys(each.end.owner[1] for each in wires if each.end is not None
                          and each.end.owner[0] == "circuit")
    for name in names:
        was, now = before.circuit(name), after.circuit(name)
        drops = [writing.UNKNOWN if view.drop is None else writing.drop(view.drop.judged_v, view.drop.limit_v)
                 for view in (was, now)]
        ranges = [range_words(view.fuse) for view in (was, now)]
        yield (f"Circuit {now.name}: voltage drop {drops[0]}, then {drops[1]}; fuse range {ranges[0]}, then "
               f"{ranges[1]}; {was.verdict}, then {now.verdict}.")
