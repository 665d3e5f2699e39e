"""What was taken where the plan is silent, part by part: value, source, and to which side it errs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from fuseplan.checks.assumed_supply import COMMON, Assumption, of_the_supply
from fuseplan.checks.subjects import (
    fuse_path,
    fuse_subject,
    load_path,
    owner_path,
    owner_subject,
    segment_path,
    segment_subject,
    zone_paths,
)
from fuseplan.engine.ambient import ASSUMED_C
from fuseplan.engine.assumed import (
    JOINT,
    STUD,
    Errs,
    Taken,
    ammeter_taken,
    contact_taken,
    drop_class_of,
    earth_joint_taken,
    fuse_taken,
)
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.clearing import least_time_s, limits, smallest_heat_a2s
from fuseplan.engine.coils import coil_printed, coil_resistance
from fuseplan.engine.conductor_rating import WEAKEST
from fuseplan.engine.consumers import MOMENTARY, UNSTATED
from fuseplan.engine.inrush import SHORT_PULSE_S, WITHSTOOD, assumed_heat_a2s
from fuseplan.engine.intervals import CRANKING_S
from fuseplan.engine.load_figures import stated_v
from fuseplan.engine.noting import once
from fuseplan.engine.relays import ADVISED_A
from fuseplan.engine.results import Results
from fuseplan.engine.stock import BLADES
from fuseplan.plan.coils import coil_wires, relays_of
from fuseplan.plan.feed_way import is_bolted
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Load, Relay, Switch, Wire
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables import insulations
from fuseplan.tables import loads as load_tables
from fuseplan.tables.distinct import distinct
from fuseplan.tables.drops import DROP_CLASSES
from fuseplan.tables.fuses import kind_words


@once
def assumptions(results: Results) -> tuple[Assumption, ...]:
    """All that was taken, in the order of the plan; circuits out of scope are left out."""
    return tuple(_found(results))


def _found(results: Results) -> Iterator[Assumption]:
    yield from _ratings(results)
    yield from of_the_supply(results)
    plan, system_v = results.plan, results.network.system_v
    for name, feed in plan.feed.items():
        yield from _contact("feed", name, feed.relay, feed.switch, system_v)
        shunt = ammeter_taken(feed.ammeter)
        if shunt is not None:
            yield _taken("feed", name, "ammeter.drop", "resistance of its ammeter", shunt, Errs.EITHER)
        yield from _joints("feed", name, "wire", feed.wire)
        if feed.upstream is not None and not feed.wire:
            yield _taken("feed", name, "wire", "no wire to it: bolted to the feed it comes from", STUD, Errs.EITHER)
    for name, earth in plan.earth.items():
        yield from _contact("earth", name, None, earth.switch, system_v)
        yield from _joints("earth", name, "wire", earth.wire)
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is not None:
            continue
        yield from _drop_class(results, name, circuit)
        yield from _contact("circuit", name, circuit.relay, circuit.switch, system_v)
        yield from _joints("circuit", name, "wire", circuit.wire)
        yield from _joints("circuit", name, "earth_wire", circuit.earth_wire)
        for number, load in enumerate(circuit.load):
            key = f"load.{number}"
            yield from _joints("circuit", name, f"{key}.wire", load.wire)
            yield from _joints("circuit", name, f"{key}.earth_wire", load.earth_wire)
            if is_bolted(circuit, load):
                point = plan.earth.get(load.earth or circuit.earth or "")
                taken = earth_joint_taken(load, point is not None and bool(point.engine))
                if taken is not None:
                    yield _taken("circuit", name, f"{key}.earth_wire", "no earth wire: earthed where it is bolted",
                                 taken, Errs.SAFE)
            yield from _load(results, name, key, load)
    for (kind, name), relay in relays_of(plan):
        for place, wire in coil_wires(relay):
            yield from _joints(kind, name, place, wire)
    for index, row in enumerate(results.network.fuses):
        taken = fuse_taken(row.fuse.kind, float(results.fusing.rating_a[index]))
        if taken is not None:
            kind, name = row.owner
            yield _taken(kind, name, "fuse", f"resistance of its {kind_words(row.fuse.kind)}: none on file", taken,
                         Errs.SAFE)
    yield from _starters(results)
    yield from _derating(results)
    yield from _melting(results)
    yield from _unstated(results)
    yield from _wires(results)


def _ratings(results: Results) -> Iterator[Assumption]:
    """Ratings of fuses that are not entered: what is judged is what a proposal would fit."""
    for row, rating in zip(results.network.fuses, results.fusing.rating_a.tolist(), strict=True):
        if row.fuse.rating is None and math.isfinite(rating):
            yield Assumption(*fuse_subject(row), f"{owner_path(row.owner)}.fuse.rating",
                             "rating of its fuse: none entered, taken as proposed", rating, "A",
                             Errs.DANGER, "what fuseplan propose fits; another rating was not checked")


def _derating(results: Results) -> Iterator[Assumption]:
    """What types of fuse without a temperature curve of their own carry in a place hotter than the reference."""
    for row, k in zip(results.network.fuses, results.fusing.ambient_k.tolist(), strict=True):
        if row.fuse.kind not in BLADES and k < 1.0:
            yield Assumption(*fuse_subject(row), f"{owner_path(row.owner)}.fuse.zone",
                             f"derating of its {kind_words(row.fuse.kind)} for temperature: that of standard blade "
                             "fuses",
                             math.floor(100.0 * k), "%", Errs.EITHER, fuse_tables.ambient_fractions().source.line())


def _melting(results: Results) -> Iterator[Assumption]:
    """The heat short surges are held against where no melting I²t of their fuse is on file and no printed time clears
    them; once a circuit."""
    network, inrush, found = results.network, results.inrush, dict[str, int]()
    asked, through, length = results.surges.asked, results.surges.through_a, results.surges.length_s
    withstood = np.stack([inrush.withstood, inrush.worst_withstood])
    short = np.argwhere((asked >= 0) & (length <= SHORT_PULSE_S) & (withstood == WITHSTOOD))
    over = exceeds(through[(*short.T,)], results.fusing.rating_a[asked[(*short.T,)]])
    for case, load in short[over].tolist():
        device = int(asked[case, load])
        kind, rating = network.fuse_kinds[device], float(results.fusing.rating_a[device])
        if not np.isnan(assumed_heat_a2s(kind, rating)) and not \
                least_time_s(kind, rating, through[case, load]) >= length[load]:
            found.setdefault(network.consumers.owner[load][1], device)
    for name, device in found.items():
        kind, rating = network.fuse_kinds[device], float(results.fusing.rating_a[device])
        printed = limits(kind, rating)
        yield Assumption("circuit", name, fuse_path(network.fuses[device], "kind"),
                         f"melting I²t of its {kind_words(kind)}, for a short surge at switch-on",
                         smallest_heat_a2s(kind, rating), "A²s", Errs.SAFE,
                         "the smallest heat of its printed least opening times; every melting I²t on file is larger: "
                         + ("" if printed is None else "; ".join(each.line() for each in printed.sources)))


def _taken(kind: str, name: str, key: str, what: str, taken: Taken, errs: Errs) -> Assumption:
    path = f"{owner_path((kind, name))}.{key}"
    return Assumption(*owner_subject((kind, name)), path, what, taken.ohm, "ohm", errs, taken.source)


def _drop_class(results: Results, name: str, circuit: Circuit) -> Iterator[Assumption]:
    """The limit a circuit's voltage drop is held against where the plan does not say what kind of circuit it is."""
    word = drop_class_of(circuit)
    found = results.limit_set.drop_limit(word, results.network.system_v)
    if circuit.drop_class is None and circuit.load and found is not None:
        yield Assumption("circuit", name, f"circuit.{name}.drop_class",
                         f"kind of circuit for its voltage drop: {DROP_CLASSES[word]}", found.value, "V", Errs.EITHER,
                         found.source.line())


def _contact(kind: str, name: str, relay: Relay | None, switch: Switch | None, system_v: float) -> Iterator[Assumption]:
    taken = contact_taken(relay, switch)
    if taken is not None:
        key, what = ("switch.resistance", "resistance of its switch") if relay is None else \
            ("relay.resistance", "resistance of its relay contact")
        yield _taken(kind, name, key, what, taken, Errs.EITHER)
    if relay is None and switch is not None and switch.rating is None and kind == "circuit":
        yield Assumption("circuit", name, f"circuit.{name}.switch.rating",
                         "current its switch carries, whatever the load", ADVISED_A, "A", Errs.DANGER, COMMON)
    if relay is not None and relay.coil is None and not coil_printed(relay.contact):
        yield Assumption(*owner_subject((kind, name)), f"{kind}.{name}.relay.coil", "coil of its relay",
                         coil_resistance(relay.contact, system_v), "ohm", Errs.EITHER,
                         f"that of a mini relay; {COMMON}")


def _joints(kind: str, name: str, key: str, wire: Wire) -> Iterator[Assumption]:
    for number, segment in enumerate(wire):
        for joint in (segment.joint, *segment.splice):
            if joint is not None and joint.resistance is None:
                yield _taken(kind, name, f"{key}.{number}.joint.resistance", "resistance of a joint in its wire", JOINT,
                             Errs.SAFE)


def _load(results: Results, name: str, key: str, load: Load) -> Iterator[Assumption]:
    path = f"circuit.{name}.{key}"
    if load.at is None and (load.current is not None or load.power is not None):
        yield Assumption("circuit", name, f"{path}.at", "voltage its current or power is stated at",
                         stated_v(load, results.network.system_v), "V", Errs.SAFE,
                         "nominal voltage of the system; for electronic loads the test voltage of SAE J56")
    if load.kind == "lamp" and load.design_voltage is None:
        yield Assumption("circuit", name, f"{path}.design_voltage", "design voltage of a lamp",
                         float(load.at or results.network.system_v), "V", Errs.EITHER,
                         "the voltage its figure is stated at, else that of the system")
    if load.kind is not None and (load.inrush is None or load.inrush_time is None):
        usual = load_tables.default_inrush(load.kind)
        if usual.value[0] > 1:
            yield Assumption("circuit", name, f"{path}.inrush", f"inrush current, typical for its kind ({load.kind})",
                             usual.value[0], "times", Errs.EITHER, usual.source.line())


def _starters(results: Results) -> Iterator[Assumption]:
    """Loads that the role of their circuit says are on for seconds only, and starters without a locked point."""
    network, consumers, point = results.network, results.network.consumers, load_tables.starter_stall_v()
    for number, load in zip(network.load_consumers.tolist(), network.loads, strict=True):
        if load.use is None and consumers.use[number] == MOMENTARY:
            yield Assumption("circuit", consumers.owner[number][1], load_path(results, number, "use"),
                             "time the starter is on, taken as a short load (momentary) by its role",
                             CRANKING_S, "s", Errs.DANGER, COMMON)
        if load.locked_current is None and consumers.locked_ohm[number] > 0:
            yield Assumption("circuit", consumers.owner[number][1], load_path(results, number, "locked_current"),
                             "voltage at which the starter, held, takes its running current",
                             point.value * network.system_v / 12.0, "V", Errs.EITHER, point.source.line())


def _unstated(results: Results) -> Iterator[Assumption]:
    """What circuits draw through their fuses where no current is stated."""
    network, consumers = results.network, results.network.consumers
    for number in np.flatnonzero(consumers.kind == UNSTATED).tolist():
        if number not in network.unbounded:
            name = consumers.owner[number][1]
            circuit = results.plan.circuit[name]
            silent = [index for index, load in enumerate(circuit.load) if load.current is None and load.power is None]
            key = f"load.{silent[0]}.current" if silent and circuit.out_of_scope is None else "load"
            yield Assumption("circuit", name, f"circuit.{name}.{key}",
                             "most it draws, in the worst-case current of what it shares a feed or an earth with",
                             float(consumers.most_a[number]), "A", Errs.EITHER,
                             f"the smallest fuse rating entered before it; {COMMON}")


def _wires(results: Results) -> Iterator[Assumption]:
    segments, hottest_c = results.network.segments, results.network.segments.hottest_c
    unnamed = [index for index, segment in enumerate(segments.segment) if segment.insulation is None]
    for index in _in_scope(results, unnamed):
        yield _of_wire(results, index, segment_path(results, index, "insulation"), f"insulation: {WEAKEST}, up to",
                       insulations.insulation(WEAKEST).max_c, Errs.SAFE, "the lowest class sold")
    for mark, what in (
            ("assumed_place", "temperature where a wire lies"),
            ("taken_place", "temperature of a wire without a zone: the hottest of the zones it is joined to")):
        for index in _in_scope(results, segments.marked.get(mark, [])):
            ambient_c = ASSUMED_C if mark == "assumed_place" else float(hottest_c[index])
            yield _of_wire(results, index, zone_paths(results, index)[0], what, ambient_c, Errs.EITHER, COMMON)


def _in_scope(results: Results, numbers: Sequence[int]) -> Iterator[int]:
    """Some segments without those of circuits out of scope, in ascending order."""
    for index in distinct(np.array(numbers, dtype=np.int64)).tolist():
        kind, name = segment_subject(results, index)
        if kind != "circuit" or results.plan.circuit[name].out_of_scope is None:
            yield index


def _of_wire(results: Results, index: int, key: str, what: str, value: float, errs: Errs, source: str) -> Assumption:
    kind, name = segment_subject(results, index)
    return Assumption(kind, name, key, what, value, "°C", errs, source)
