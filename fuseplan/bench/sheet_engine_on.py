"""The rows with the engine cranking and running: cranking, charging, full load, heat."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.bench.expected import expected
from fuseplan.bench.sheet_entries import Entry, Key, at, keys, taken
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.cranking import Survivor, crank_condition, starter_consumer, unmeasured_survivors
from fuseplan.plan.feed_way import way_to
from fuseplan.quantities import writing
from fuseplan.results.address import joined

WARMS_A, HEATS_A = 5.0, 10.0
"""Joints with this continuous current or more are felt for heat, and measured. Common practice, no source."""
RAISED_RPM = 1500.0
"""An engine speed from here on counts as raised. Common practice, no source."""
CARRIES_A = 0.1
"""A feed that carries less than this is not asked for its current and its drop."""


def cranking(assessment: Assessment) -> Iterator[Entry]:
    """Battery, starter and its cables, and of each feed the circuit with the fewest volts."""
    network = assessment.results.network
    index = crank_condition(network)
    if index < 0:
        return
    condition = network.condition_ids[index]
    if assessment.plan.battery is not None:
        amps = "half its cold-cranking current" if not assessment.plan.battery.cold_crank else \
            writing.stated(0.5 * float(assessment.plan.battery.cold_crank), "A")
        yield from taken(assessment, "rested", ("battery", "load_test_v"), required=False,
                         if_fails=keys(condition, ("battery", "volts")),
                         note=f"With a load tester: {amps} for 15 s, its surface charge taken off first (300 A for "
                               "15 s)")
    yield from taken(assessment, condition, ("battery", "volts"))
    starter = starter_consumer(network, index)
    if starter >= 0:
        name = network.consumers.owner[starter][1]
        both = ("supply_mv", "return_mv")
        yield from taken(assessment, condition, *(("circuit", name, what) for what in ("current", *both)))
        # What the battery has less both drops is what the starter has.
        yield from taken(assessment, condition, ("circuit", name, "load_v"), required=False, if_fails=keys(
            condition, *(("circuit", name, what) for what in both)))
    for name, earth in assessment.plan.earth.items():
        if earth.engine and earth.wire:
            yield from taken(assessment, condition, ("earth", name, "strap_mv"),
                              note="Engine strap: more than 0.3 V and other cables warm: it is missing or loose")
    yield from _survivors(assessment, condition)


def _survivors(assessment: Assessment, condition: str) -> Iterator[Entry]:
    """What must work while cranking: of all that hangs on one feed the load with the fewest volts is read; a relay is
    where nothing behind it is."""
    network = assessment.results.network
    least: dict[str, tuple[float, Key]] = {}
    ways: list[tuple[Survivor, tuple[str, ...]]] = []
    for each in unmeasured_survivors(network):
        kind, owner = each.owner
        number = int(network.consumers.number[each.consumer])
        load = ("load", str(number)) if number and each.kind != "relay" else ()
        way = (kind, owner, *load, "coil_v" if each.kind == "relay" else "load_v")
        point = at(assessment, *way)
        if point is None:
            continue
        ways.append((each, way))
        volts = expected(assessment, point, condition).low
        if each.kind != "relay" and each.must_run and volts is not None:
            feed = assessment.plan.circuit[owner].feed or ""
            least[feed] = min(least.get(feed, (volts, (point.address, condition))), (volts, (point.address, condition)))
    read = tuple(key for _, key in least.values())
    alive = {feed for each in least for feed in way_to(assessment.plan, each)}
    for each, way in ways:
        kind, owner = each.owner
        known = (joined(way), condition) in read
        if each.kind == "relay":
            behind = owner in alive if kind == "feed" else keys(condition, ("circuit", owner, "load_v"))[0] in read
            required = each.must_run and not behind
        else:
            required = each.must_run and (known or (assessment.plan.circuit[owner].feed or "") not in least)
        yield from taken(assessment, condition, way, required=required, if_fails=read)


def running_conditions(assessment: Assessment) -> list[int]:
    """Numbers of the conditions with the engine running, the smallest demand first."""
    network = assessment.results.network
    demand = np.asarray(assessment.results.balance.demand_a)[0]
    found = [index for index, condition in enumerate(network.conditions) if condition.state == "running"]
    return sorted(found, key=lambda index: float(np.nan_to_num(demand[index])))


def idle_and_raised(assessment: Assessment) -> tuple[str | None, str | None]:
    """The conditions with the most on, at idle and at raised engine speed; None where there is none."""
    network = assessment.results.network
    found: list[str | None] = []
    for raised in (False, True):
        fitting = [index for index in running_conditions(assessment)
                   if (float(network.conditions[index].engine) >= RAISED_RPM) == raised]
        found.append(network.condition_ids[fitting[-1]] if fitting else None)
    return found[0], found[1]


def charging(assessment: Assessment) -> Iterator[Entry]:
    """Battery and alternator, with little on and with everything."""
    running = running_conditions(assessment)
    if not running or assessment.plan.alternator is None:
        return
    ids = assessment.results.network.condition_ids
    least, full = ids[running[0]], idle_and_raised(assessment)[1] or ids[running[-1]]
    yield from taken(assessment, least, ("battery", "volts"), ("alternator", "volts"),
                      note="As little on as the car allows")
    yield from taken(assessment, full, ("battery", "volts"), ("alternator", "cable_mv"), ("alternator", "case_mv"))
    yield from taken(assessment, full, ("alternator", "current"), required=False, if_fails=keys(
        full, ("battery", "volts"), ("battery", "current")))
    yield from taken(assessment, full, ("battery", "ripple_mv"), note="Battery charged, loads on")


def full_load(assessment: Assessment) -> Iterator[Entry]:
    """Battery and earth points with everything on; feeds where the battery's volts or a lamp's are not in order."""
    network, plan = assessment.results.network, assessment.plan
    running = [network.condition_ids[index] for index in running_conditions(assessment)]
    raised = idle_and_raised(assessment)[1]
    both = [each for each in idle_and_raised(assessment) if each is not None]
    heaviest = max(both, key=running.index, default=None)
    for condition in both:
        row = network.condition_ids.index(condition)
        volts = keys(condition, ("battery", "volts"), ("battery", "current"))
        if not (plan.alternator is not None and condition == raised):
            # At raised speed they were read while charging.
            yield from taken(assessment, condition, ("battery", "volts"))
        yield from taken(assessment, condition, ("battery", "current"))
        for name in plan.feed:
            if network.feed_live[name][network.state[row]]:
                yield from taken(assessment, condition, ("feed", name, "volts"), required=False, if_fails=volts)
                carried = float(assessment.results.solution.supply_a[row, network.feed_node[name]])
                if plan.feed[name].wire and abs(carried) > CARRIES_A:
                    # A bad joint in what carries much burns before anybody misses the volts.
                    heats = condition == heaviest and abs(carried) >= HEATS_A
                    yield from taken(assessment, condition, ("feed", name, "drop_mv"), required=heats,
                                     if_fails=(*volts, *keys(condition, ("feed", name, "volts"))))
                    yield from taken(assessment, condition, ("feed", name, "current"), required=False,
                                     if_fails=keys(condition, ("feed", name, "drop_mv")))
        for name, earth in plan.earth.items():
            if earth.upstream is not None:
                # The drop of an earth is in mΩ the same in both: required where the most current flows.
                yield from taken(assessment, condition, ("earth", name, "drop_mv"), required=condition == heaviest,
                                 if_fails=volts)
                if earth.engine and not earth.wire:
                    yield from taken(assessment, condition, ("earth", name, "strap_mv"), required=False,
                                     if_fails=keys(condition, ("earth", name, "drop_mv")), note="Bolted on the engine")
        for name, circuit in plan.circuit.items():
            on = _on(assessment, name, row)
            if on and any(load.kind == "lamp" for load in circuit.load):
                yield from taken(assessment, condition, ("circuit", name, "load_v"), required=False, if_fails=(
                    *volts, *keys("alone", ("circuit", name, "load_v"))))


def _on(assessment: Assessment, circuit: str, row: int) -> bool:
    consumers = assessment.results.network.consumers
    mine = consumers.circuit == assessment.circuit_index[circuit]
    return bool(consumers.on[row, mine].any())


def heat(assessment: Assessment) -> Iterator[Entry]:
    """Holders that carry much."""
    condition = idle_and_raised(assessment)[1] or idle_and_raised(assessment)[0]
    if condition is None:
        return
    solution, network = assessment.results.solution, assessment.results.network
    row = network.condition_ids.index(condition)
    for name, feed in assessment.plan.feed.items():
        amps = abs(float(solution.supply_a[row, network.feed_node[name]]))
        if feed.fuse is not None and amps >= WARMS_A:
            # Its drop at full load is required where it carries much.
            yield from taken(assessment, condition, ("feed", name, "holder_rise"), required=not feed.wire and
                             amps >= HEATS_A, if_fails=keys(condition, ("feed", name, "drop_mv")),
                             only="it feels warm")
    for name, circuit in assessment.plan.circuit.items():
        node = network.circuit_node[network.circuit_number[name]]
        amps = float(solution.supply_a[row, node])
        if circuit.fuse is not None and amps >= WARMS_A:
            yield from taken(assessment, condition, ("circuit", name, "holder_rise"), required=amps >= HEATS_A,
                             only="it feels warm")


