"""Relays and switches: what is on each pin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fuseplan.build.ends import output_pin
from fuseplan.build.numbers import Owner
from fuseplan.build.wires import Piece
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.model import Circuit, Feed, Plan
from fuseplan.plan.part_names import title_of
from fuseplan.plan.parts import Relay, Switch
from fuseplan.records import dataclass
from fuseplan.results.supply import EarthResult, FeedResult
from fuseplan.tables.relays import CONTACTS, RelayContact

_DRIVERS = {"ecu": "output of the control unit", "switch": "switch", "thermo_switch": "thermo switch",
            "voltage_sensing": "the voltage it senses itself"}


@dataclass(frozen=True)
class FittedRelay:
    """One relay and what is on its pins, by DIN 72552 number."""

    owner: tuple[str, str]
    title: str
    relay: Relay
    contact: RelayContact | None
    """None where the type is not on file."""
    pins: tuple[tuple[str, str], ...]
    current_a: float | None
    """Continuous current through its contact."""

    @property
    def driver(self) -> str:
        """What switches its coil, in words."""
        return _DRIVERS.get(self.relay.driver or "", "not stated")


@dataclass(frozen=True)
class FittedSwitch:
    """One plain switch that carries its load."""

    owner: tuple[str, str]
    title: str
    switch: Switch
    wires: tuple[str, ...]
    """Numbers of the wires behind it."""
    current_a: float | None


def relays(assessment: Assessment, owned: Mapping[Owner, list[Piece]], coils: Mapping[Owner, list[Piece]]
           ) -> tuple[FittedRelay, ...]:
    """The relays of a plan: those of feeds, then those of circuits."""
    plan, listed = assessment.plan, []
    for owner, part, feed in _parts(assessment):
        relay = part.relay
        if relay is None:
            continue
        out = output_pin(relay)
        unused = "87" if out == "87a" else "87a"
        before, behind = _beside(assessment, owner, part, feed, owned, relay.wire_before)
        pins = (("30", before), (out, behind), (unused, "not used"), *_coil_pins(plan, relay, coils.get(owner, ())))
        listed.append(FittedRelay(owner, title_of(plan, *owner), relay, CONTACTS.get(relay.contact), pins,
                                  _carried(assessment, owner)))
    return tuple(listed)


def _coil_pins(plan: Plan, relay: Relay, wires: Sequence[Piece]) -> tuple[tuple[str, str], tuple[str, str]]:
    """What is on 86 and 85: their wires with what is at the other end of them; without one the feed of the coil, and
    what switches it."""
    to, back = ([piece for piece in wires if piece.returns == returns] for returns in (False, True))
    driver = _DRIVERS.get(relay.driver or "", "what switches it is not stated")
    at_86 = f"wire {to[-1].number}, from {to[0].start.words}" if to else title_of(plan, "feed", relay.coil_feed)
    at_85 = f"wire {back[0].number}, to {back[-1].end.words}" if back else driver
    return ("86", at_86), ("85", at_85)


def switches(assessment: Assessment, owned: Mapping[Owner, list[Piece]]) -> tuple[FittedSwitch, ...]:
    """The plain switches of a plan."""
    return tuple(FittedSwitch(owner, title_of(assessment.plan, *owner), part.switch,
                              _behind_switch(owned.get(owner, []), part.switch),
                              _carried(assessment, owner))
                 for owner, part in (*((owner, part) for owner, part, _ in _parts(assessment)),
                                     *((("earth", name), part) for name, part in assessment.plan.earth.items()))
                 if part.switch is not None)


def _parts(assessment: Assessment) -> Iterator[tuple[tuple[str, str], Feed | Circuit, str]]:
    plan = assessment.plan
    for name, feed in plan.feed.items():
        yield ("feed", name), feed, feed.upstream or ""
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is None:
            yield ("circuit", name), circuit, circuit.feed or ""


def _beside(assessment: Assessment, owner: Owner, part: Feed | Circuit, feed: str, owned: Mapping[Owner, list[Piece]],
            before: int | None) -> tuple[str, str]:
    """What is on the input and on the output of a relay."""
    plan = assessment.plan
    source = f"fuse of {title_of(plan, *owner)}" if part.fuse is not None else title_of(plan, "feed", feed)
    wires = [f"wire {piece.number}" for piece in owned.get(owner, ()) if not piece.returns]
    own = wires[:len(part.wire)]
    end = title_of(plan, *owner) if owner[0] == "feed" else wires[len(own)] if len(wires) > len(own) else "its loads"
    if not own:
        return source, wires[0] if wires else "no wire in the plan"
    if before is None and owner[0] == "feed" and part.fuse is not None:
        # The plan does not say at which end of the wire the relay sits.
        return f"{source}, or {own[-1]}", f"{own[0]}, or {end}"
    at = before or 0
    return own[at - 1] if at else source, own[at] if at < len(own) else end


def _behind_switch(own: list[Piece], switch: Switch) -> tuple[str, ...]:
    """The wire that begins at a switch."""
    wires = [piece.number for piece in own if not piece.returns] or [piece.number for piece in own]
    return tuple(wires[switch.wire_before or 0:][:1])


def _carried(assessment: Assessment, owner: tuple[str, str]) -> float | None:
    kind, name = owner
    if kind == "circuit":
        return assessment.circuit(name).load_a
    result = FeedResult(assessment, name) if kind == "feed" else EarthResult(assessment, name)
    found = [view.largest_a for view in result.in_condition.values()]
    return None if not found or any(each is None for each in found) else max(each or 0.0 for each in found)
