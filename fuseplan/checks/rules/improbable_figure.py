"""Two figures of the plan do not fit together: most often one was typed wrong, or belongs to another car.

A battery whose rested voltage is above the regulator voltage is never charged; one of an internal resistance that its
cold-cranking current contradicts drives other shorts than those worked out; a voltage far from the system's belongs
to another system; a starter that is on with the engine running lacks the word `crank`; a running engine at 0 r/min
turns no alternator; in a zone planned for less than any place reaches on a hot day wires, fuses and relays are judged
too cool; a wire of which a tenth of the copper would do, for its fuse and its drop alike, is one with a slip of the
decimal point or a digit left out. Results calculated from such figures look right but are wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from fuseplan.checks.assumed_zone import MILD_C
from fuseplan.checks.fixes import largest_fuses_a
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import (
    circuit_subject,
    condition_words,
    load_of,
    load_path,
    load_words,
    segment_path,
    segment_subject,
    segment_words,
)
from fuseplan.engine.at_limit import falls_short, within
from fuseplan.engine.consumers import LOAD, STARTER_A
from fuseplan.engine.results import Results
from fuseplan.engine.source import internal_ohm
from fuseplan.engine.states import STATE_INDEX
from fuseplan.errors import AmountError, TableError
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables.conductors import conductor
from fuseplan.trace import bare

RESTED = (0.85, 1.1)
"""Rested voltage over the system's: a flat battery of 12 V to a charged one that has just come off the charger."""
REGULATED = (1.08, 1.3)
CRANKED = (2.5, 40.0)
"""Cold-cranking current over capacity [A/Ah] of a lead-acid battery, far beyond what labels say: 4 to 15, from
memory."""
TIMES_RESISTANCE = 4.0
"""So many times what the cold-cranking current says a battery's internal resistance may be, or so many times less.
Common practice, no source."""
STATED = (0.5, 1.35)
"""Voltage a load's figure is stated at: a starter's under load, or a lamp's behind a ballast, to a charging one."""
TENTH_FROM_MM2 = 8.0
"""A wire thinner than this is not taken for one of a tenth of its copper: it may be what was at hand. Common practice,
no source."""
LITTLE_LOST = 0.015
"""Share of the system's voltage that a wire may lose without anybody making it thicker for that. Common practice, no
source."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    yield from _supply(rule, results)
    yield from _loads(rule, results)
    yield from _sizes(rule, results)
    yield from _cold_zones(rule, results)
    network = results.network
    for name, condition in results.plan.condition.items():
        if condition.state == "running" and float(condition.engine) == 0:
            number = network.condition_ids.index(name)
            yield rule.finding(
                results, ("plan", "plan"), f"{condition_words(results, number)} has the engine running at 0 r/min: its "
                "alternator counts as delivering "
                "nothing", figure=0.0, unit="r/min", fields=(f"condition.{name}.engine",))


def _supply(rule: Rule, results: Results) -> Iterator[Finding]:
    plan, system_v = results.plan, results.network.system_v
    rested = None if plan.battery is None or plan.battery.open_circuit is None else float(plan.battery.open_circuit)
    held = None if plan.alternator is None or plan.alternator.regulator_voltage is None else \
        float(plan.alternator.regulator_voltage)
    if rested is not None and results.source.running.any() and rested > results.source.regulator_v:
        rests, limit = writing.against(rested, results.source.regulator_v, "V")
        yield rule.finding(
            results, ("battery", "battery"), f"rested voltage {rests}, above the regulator voltage of {limit}: it is "
            "never charged", figure=rested, limit=results.source.regulator_v, unit="V",
            fields=("battery.open_circuit", "alternator.regulator_voltage"))
    battery = plan.battery
    if battery is not None and battery.cold_crank is not None and battery.capacity is not None:
        ratio = float(battery.cold_crank) / float(battery.capacity)
        if not CRANKED[0] <= ratio <= CRANKED[1]:
            yield rule.finding(
                results, ("battery", "battery"), f"a cold-cranking current of {battery.cold_crank} and a capacity of "
                f"{battery.capacity} do not go together: one of them may be typed wrong",
                fields=("battery.capacity", "battery.cold_crank"))
    yield from _resistance(rule, results)
    for figure, (low, high), subject, what, key in (
            (rested, RESTED, "battery", "rested voltage", "battery.open_circuit"),
            (held, REGULATED, "alternator", "regulator voltage", "alternator.regulator_voltage")):
        if figure is not None and not low * system_v <= figure <= high * system_v:
            yield rule.finding(
                results, ("battery", "battery") if subject == "battery" else ("alternator", "alternator"),
                f"{what} {writing.stated(figure, 'V')} in a system of {writing.stated(system_v, 'V')}", figure=figure,
                unit="V", fields=(key, "vehicle.system"))


def _resistance(rule: Rule, results: Results) -> Iterator[Finding]:
    """An internal resistance far from what the cold-cranking current says, cold or warm: shorts are then worked out
    larger than they are, and fuses seem to blow in time, or smaller, and seem to break them."""
    battery, system_v = results.plan.battery, results.network.system_v
    if battery is None or battery.internal_resistance is None or not battery.cold_crank:
        return
    stated, by_label = float(battery.internal_resistance), battery.model_copy(update={"internal_resistance": None})
    warm, cold = (float(internal_ohm(by_label, system_v, is_cold)) for is_cold in (False, True))
    if not within(warm, stated * TIMES_RESISTANCE) or not within(stated, cold * TIMES_RESISTANCE):
        yield rule.finding(
            results, ("battery", "battery"), f"an internal resistance of {battery.internal_resistance} and a "
            f"cold-cranking current of {battery.cold_crank} do not go together: that current says "
            f"{writing.burden(warm, 'ohm')} warm and {writing.burden(cold, 'ohm')} cold, one of them may be typed "
            "wrong", figure=stated, unit="ohm", fields=("battery.internal_resistance", "battery.cold_crank"))


def _loads(rule: Rule, results: Results) -> Iterator[Finding]:
    network, consumers = results.network, results.network.consumers
    low, high = (share * network.system_v for share in STATED)
    running = network.state == STATE_INDEX["running"]
    large = consumers.possible[running].any(axis=0) & (consumers.reference_a > STARTER_A)
    # What a figure is stated at, if anything, is what its current follows from.
    odd = (consumers.reference_v < low) | (consumers.reference_v > high)
    for number in np.flatnonzero((consumers.kind == LOAD) & (large | odd)).tolist():
        load = load_of(results, number)
        if load.at is not None and not low <= load.at <= high:
            yield rule.finding(
                results, circuit_subject(results, int(consumers.circuit[number])),
                f"the figure of {load_words(results, number)} is stated at {writing.stated(float(load.at), 'V')} in a "
                f"system of {writing.stated(network.system_v, 'V')}", figure=float(load.at), unit="V",
                fields=(load_path(results, number, "at"), "vehicle.system"))
        if large[number] and network.circuits[int(consumers.circuit[number])].role == "starter":
            at = int(np.flatnonzero(consumers.possible[:, number] & running)[0])
            yield rule.finding(
                results, circuit_subject(results, int(consumers.circuit[number])),
                f"{load_words(results, number)} is on in {condition_words(results, at)}, with the engine running: a "
                "starter is on only while cranking", figure=float(consumers.reference_a[number]), unit="A",
                fields=(load_path(results, number, "when"),))


def _cold_zones(rule: Rule, results: Results) -> Iterator[Finding]:
    """Zones planned for less than every place in a car reaches."""
    for name, zone in results.plan.zone.items():
        if falls_short(float(zone.ambient), MILD_C):
            place = f"zone {in_words(results.plan, 'zone', name)}"
            yield rule.finding(
                results, ("plan", "plan"), f"{place} is planned for {writing.stated(float(zone.ambient), '°C')} at "
                "most: no place in a car stays that cool on a hot day", figure=float(zone.ambient), figure_side="limit",
                limit=MILD_C, unit="°C", fix=f"enter the highest temperature of {place}, on a hot day with "
                "the engine hot", fields=(f"zone.{name}.ambient",))


def _sizes(rule: Rule, results: Results) -> Iterator[Finding]:
    """Wires with ten times the copper that anything asks for."""
    network, segments = results.network, results.network.segments
    guard, rating = network.segment_guard, results.fusing.rating_a
    alike: dict[tuple[WireSize | None, str, float], list[int]] = {}
    for index in np.flatnonzero((segments.area_mm2 >= TENTH_FROM_MM2) & (guard >= 0)).tolist():
        place = (segments.segment[index].size, segments.insulation[index], float(segments.ambient_c[index]))
        alike.setdefault(place, []).append(index)
    enough: dict[int, WireSize] = {}
    for (size, _, _), members in alike.items():
        likely = None if size is None else _tenth(size)
        if likely is not None:
            where = np.array(members)
            fits = within(rating[guard[where]], largest_fuses_a(results, where, likely))
            enough.update(dict.fromkeys(where[fits].tolist(), likely))
    for index, likely in sorted(enough.items()):
        size, rating_a = segments.segment[index].size, float(rating[guard[index]])
        ohm = conductor(likely.system, likely.name).r20_ohm_per_m * float(segments.length_m[index])
        if size is not None and \
                ohm * float(bare(results.demands.lasting)[-1, index]) <= LITTLE_LOST * network.system_v:
            was, meant = writing.wire_size(size), writing.wire_size(likely)
            yield rule.finding(
                results, segment_subject(results, index),
                f"{segment_words(results, index)} is behind {writing.an(writing.rating(rating_a))} fuse, for which "
                f"{meant} is enough: {was} may be typed wrong", figure=float(segments.area_mm2[index]), unit="mm²",
                fix=f"check the size on the wire: enter {meant} if that is what it is; if it is {was}, check that it "
                    "fits its terminals and the fuse holder", fields=(segment_path(results, index, "size"),),
                # Its fuse protects it and it loses little whichever of the two it is.
                consequence="good_practice")


@lru_cache(maxsize=256)
def _tenth(size: WireSize) -> WireSize | None:
    """The size with a tenth of the copper and the same figures: the decimal point moved, or a 1 before a gauge; None
    where there is none on file."""
    if size.system == "mm2":
        words = f"{writing.typed(size.area_mm2 / 10.0)} mm2"
    elif size.system in ("AWG", "SAE") and size.name.isdigit() and int(size.name) < 10:
        words = f"{size.system} {int(size.name) + 10}"
    else:
        return None
    try:
        found = WireSize.read(words)
        conductor(found.system, found.name)
    except (TableError, AmountError):
        return None
    return found


RULE = Rule(
    consequence="hides_a_fault",
    title="Improbable figure",
    source="common practice, no source",
    caution="A figure typed wrong makes every result calculated from it wrong, and none of them shows it.",
    fix="check both figures against the part's label, and correct the one that is wrong",
    example="fails: a lamp whose power is stated at 24 V in a system of 12 V; passes: stated at 12 V",
    find=find,
)
