"""The whole way of one circuit, from the battery through its feeds to the loads and back by the earth points."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fuseplan.build.coil_gaps import coil_gaps
from fuseplan.build.ends import output_pin
from fuseplan.build.numbers import Owner
from fuseplan.build.wires import Piece
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.circuit import CircuitInCondition
from fuseplan.results.fuse import FuseResult
from fuseplan.results.supply import EarthInCondition, EarthResult, FeedInCondition, FeedResult


@dataclass(frozen=True)
class Step:
    """One thing current passes on its way, with what is expected there."""

    what: str
    """Kind of part: feed, fuse, relay, switch, wire, load, earth wire, earth point."""
    words: str
    volts: float | None = None
    """Voltage expected: of a feed against battery negative, across a load, of an earth point above battery negative."""
    amps: float | None = None
    piece: Piece | None = None


@dataclass(frozen=True)
class CircuitPath:
    """A circuit's way in one condition; without a condition its figures are not known."""

    view: JudgedCircuit
    condition: CircuitInCondition | None
    steps: tuple[Step, ...]
    coil: tuple[Step, ...]
    """The way through the coil of its relay; empty where the plan has none of its wires."""
    gaps: tuple[str, ...]
    """Lengths of wire on the way of which the plan says nothing."""


def circuit_path(assessment: Assessment, name: str, owned: Mapping[Owner, list[Piece]],
                 coils: Mapping[Owner, list[Piece]]) -> CircuitPath:
    """The way of a circuit, in a condition that lasts long enough to measure: that in which its drop is worst, while
    the engine runs where that one is cranking; else the first in which it is on."""
    view = assessment.circuit(name)
    where = _condition(view)
    own = owned.get(("circuit", name), [])
    supply = [piece for piece in own if not piece.returns]
    fitted = view.circuit.relay or view.circuit.switch
    before = 0 if fitted is None else fitted.wire_before or 0
    steps = [*_feeds(assessment, view, owned, where), *_fuse(view, where),
             *(Step("wire", _wire_words(piece), piece=piece) for piece in supply[:before]),
             *_device(assessment, view, where),
             *(Step("wire", _wire_words(piece), piece=piece) for piece in supply[before:]), *_far_fuse(view),
             *_loads(view, where),
             *(Step("earth wire", _wire_words(piece), piece=piece) for piece in own if piece.returns),
             *_earths(assessment, view, owned, where)]
    coil = tuple(_coil(assessment, view, where, coils.get(("circuit", name), ())))
    return CircuitPath(view, where, tuple(steps), coil, tuple(_gaps(assessment, view)))


def _condition(view: JudgedCircuit) -> CircuitInCondition | None:
    found, conditions = view.in_condition, view.solved.results.network.conditions
    on = [each for each in found.values() if each.live and each.current_a]
    worst = None if view.drop is None else found[view.drop.condition]
    if worst is not None and conditions[worst.row].state != "crank":
        return worst
    running = next((each for each in on if conditions[each.row].state == "running"), None)
    return running or worst or next(iter(on), None)


def _wire_words(piece: Piece) -> str:
    return f"{piece.start.words} to {piece.end.words}"


def _feeds(assessment: Assessment, view: JudgedCircuit, owned: Mapping[Owner, list[Piece]],
           where: CircuitInCondition | None) -> Iterator[Step]:
    plan, names = assessment.plan, [view.circuit.feed]
    while names[-1] is not None and names[-1] in plan.feed:
        names.append(plan.feed[names[-1]].upstream)
    for name in reversed([name for name in names if name in plan.feed]):
        assert name is not None
        feed, result = plan.feed[name], FeedResult(assessment, name)
        if feed.fuse is not None:
            yield Step("fuse", f"{_rated(result.fuse)} of {title_of(plan, 'feed', name)}")
        wires = [Step("wire", _wire_words(piece), piece=piece) for piece in owned.get(("feed", name), ())]
        fitted = feed.relay or feed.switch
        before = 0 if fitted is None else fitted.wire_before or 0
        yield from wires[:before]
        if feed.relay is not None:
            yield Step("relay", f"relay of {title_of(plan, 'feed', name)}, pins 30 and "
                                f"{output_pin(feed.relay)}")
        if feed.switch is not None:
            yield Step("switch", f"switch of {title_of(plan, 'feed', name)}")
        yield from wires[before:]
        inside = None if where is None else FeedInCondition(result, where.row)
        yield Step("feed", title_of(plan, "feed", name) + (f", terminal {feed.terminal}" if feed.terminal else ""),
                   None if inside is None else inside.lowest_v, None if inside is None else inside.largest_a)


def _fuse(view: JudgedCircuit, where: CircuitInCondition | None) -> Iterator[Step]:
    circuit, amps = view.circuit, None if where is None else where.current_a
    if circuit.fuse is not None:
        seat = f"position {circuit.fuse.position}" if circuit.fuse.position else "position not stated"
        yield Step("fuse", f"{_rated(view.fuse)}, {seat}", amps=amps)


def _far_fuse(view: JudgedCircuit) -> Iterator[Step]:
    """The fuse at the second battery its wire leads to."""
    second = view.circuit.second_battery
    if second is not None:
        rated = "no fuse entered" if second.fuse is None else "fuse without a rating" if second.fuse.rating is None \
            else f"{writing.rating(float(second.fuse.rating))} fuse"
        yield Step("fuse", f"{rated}, at the second battery")


def _device(assessment: Assessment, view: JudgedCircuit, where: CircuitInCondition | None) -> Iterator[Step]:
    circuit, amps = view.circuit, None if where is None else where.current_a
    if circuit.relay is not None:
        yield Step("relay", f"contact pins 30 and {output_pin(circuit.relay)}; coil pins 86 and 85, coil fed from "
                            f"{title_of(assessment.plan, 'feed', circuit.relay.coil_feed)}", amps=amps)
    if circuit.switch is not None:
        yield Step("switch", "plain switch", amps=amps)


def _coil(assessment: Assessment, view: JudgedCircuit, where: CircuitInCondition | None, wires: Sequence[Piece]
          ) -> Iterator[Step]:
    """From the feed of the coil through its wires and the coil itself to what its last wire ends on."""
    relay, coil = view.circuit.relay, view.coil
    if relay is None or coil is None or not wires:
        return
    row = None if where is None else where.row
    feed = None if row is None or relay.coil_feed not in assessment.plan.feed else \
        FeedInCondition(FeedResult(assessment, relay.coil_feed), row)
    driven = None if row is None else coil.in_condition(row)
    volts, amps = (None, None) if driven is None else driven
    yield Step("feed", f"coil fed from {title_of(assessment.plan, 'feed', relay.coil_feed)}",
               None if feed is None else feed.lowest_v, amps)
    yield from (Step("wire", _wire_words(piece), piece=piece) for piece in wires if not piece.returns)
    yield Step("load", "relay coil, from pin 86 to pin 85", volts, amps)
    yield from (Step("wire", _wire_words(piece), piece=piece) for piece in wires if piece.returns)


def _rated(fuse: FuseResult | None) -> str:
    """A fuse by its rating: ``15 A fuse``, with a word where the rating is proposed."""
    if fuse is None or fuse.rating_a is None:
        return "fuse of unknown rating"
    return f"{writing.rating(fuse.rating_a)} fuse{'' if fuse.entered else ' (proposed)'}"


def _loads(view: JudgedCircuit, where: CircuitInCondition | None) -> Iterator[Step]:
    volts = [] if where is None else where.load_v
    for index, load in enumerate(view.circuit.load):
        yield Step("load", load.name or f"load {index + 1}", volts[index] if index < len(volts) else None,
                   _load_a(view, where, index))


def _load_a(view: JudgedCircuit, where: CircuitInCondition | None, index: int) -> float | None:
    """Current of one load; None where it is not known."""
    if where is None or where.current_a is None:
        return None
    member = where.members[index]
    current = float(view.solved.results.solution.consumer_a[where.row, member])
    return current if current == current else None


def _earths(assessment: Assessment, view: JudgedCircuit, owned: Mapping[Owner, list[Piece]],
            where: CircuitInCondition | None) -> Iterator[Step]:
    plan = assessment.plan
    begins = dict.fromkeys(load.earth or view.circuit.earth for load in view.circuit.load)
    seen: set[str] = set()
    for begin in begins:
        name = begin
        while name is not None and name in plan.earth and name not in seen:
            seen.add(name)
            inside = None if where is None else EarthInCondition(EarthResult(assessment, name), where.row)
            yield Step("earth point", title_of(plan, "earth", name), None if inside is None else inside.highest_v,
                       None if inside is None else inside.largest_a)
            wires = [Step("earth wire", _wire_words(piece), piece=piece) for piece in owned.get(("earth", name), ())]
            switch = plan.earth[name].switch
            before = 0 if switch is None else switch.wire_before or 0
            yield from wires[:before]
            if switch is not None:
                yield Step("switch", f"battery isolator in the lead from {title_of(plan, 'earth', name)}")
            yield from wires[before:]
            name = plan.earth[name].upstream


def _gaps(assessment: Assessment, view: JudgedCircuit) -> Iterator[str]:
    circuit = view.circuit
    if circuit.relay is not None:
        yield from coil_gaps(assessment.plan, circuit.relay)
        if circuit.fuse is not None and circuit.relay.wire_before is None:
            yield "how its relay's pin 30 is joined to its fuse, or that it sits beside it"
    elif circuit.switch is not None and circuit.fuse is not None and circuit.switch.wire_before is None:
        yield "the wire from its fuse to its switch"
    if circuit.wire == () and not any(load.wire for load in circuit.load):
        yield "the wire to its loads"
    for index, load in enumerate(circuit.load):
        if not load.earth_wire and not (circuit.earth_wire and load.earth is None):
            yield f"an earth wire of {load.name or f'load {index + 1}'}: taken as earthed on its own body"
