"""What a reading is held against besides the plan: published limits of tests, each with its source. What is expected of
this car is another thing: a reading may be as expected and still break a limit, and the other way round."""

from __future__ import annotations

import math

from fuseplan.bench.expected import consumer_of, expected
from fuseplan.bench.expecting import DARK_V, OPEN_OHM, between
from fuseplan.bench.meter_figures import at_least, at_most
from fuseplan.bench.model import bench_model
from fuseplan.bench.plug_points import DEAD_V
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.assumed import drop_class_of
from fuseplan.engine.cranking import starter_consumer
from fuseplan.engine.cranking_limits import side_limit, voltage_limit
from fuseplan.engine.drops import counted_node
from fuseplan.looms.probing import CONTINUITY_OHM
from fuseplan.plan.contradictions import LASTING
from fuseplan.plan.model import Circuit
from fuseplan.plan.roles import must_run
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.address import joined
from fuseplan.tables import commissioning
from fuseplan.tables.batteries import drain_guidelines
from fuseplan.tables.load import Source, row_source, table

STOP_OHM = 1e3
"""A feed with everything unplugged: below this, stop. From here to `OPEN_OHM` something is still
plugged in, or wet. Common practice, no source."""
READY_V, POOR_V = 12.4, 12.5
"""Rested battery: less is not enough for any drop test; less than the other is poor."""
PLUG_SUPPLY_V = READY_V - 0.5
"""A supply pin of an open plug has this or more on 12 V. Common practice, no source."""
GLOW_V = 2.0
"""A series lamp that should be dark and has this across it is a fault. Common practice, no source."""
NOTHING_V = 1e-4
STUD_A = 25.0
"""The smallest stud printed, which may have the most resistance."""
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Limit:
    """Limits of a reading in V, A, ohm or K. Beyond `low` or `high` it is a fault, beyond the others look at it."""

    source: str
    low: float | None = None
    high: float | None = None
    look_low: float | None = None
    look_high: float | None = None
    words: str = ""
    """What the limit says, where the numbers alone do not."""


def limit_for(assessment: Assessment, point: Point, condition: str, temperature_c: float = 20.0) -> Limit | None:
    """The published limit of a point in a condition, None where none is on file.

    Args:
        condition: id of a condition of the plan, or ``unpowered``, ``rested`` or ``alone``
        temperature_c: temperature of battery and regulator
    """
    state = _state(assessment, condition)
    if point.unit == "ohm" and (point.kind != "connector" or point.what in _OHMS_OF_PLUGS):
        return _ohms(point)
    if point.what == "holder_rise":
        look, fault, source = commissioning.joint_rise_k()
        return Limit(source.line(), look_high=look, high=fault, words="over a like part with a like current")
    if point.what == "lamp_v":
        return Limit(PRACTICE, look_high=DARK_V, high=GLOW_V, words="dark: any glow is a finding")
    if point.kind == "battery":
        return _battery(assessment, point, state, temperature_c)
    if point.kind == "connector":
        return _plug(assessment, point)
    if point.kind == "alternator":
        return _alternator(assessment, point)
    if point.kind == "earth":
        return None if point.what == "current" else _bolted(assessment, point, condition) or _earth_drop(
            assessment, state)
    if point.what == "coil_v" and state == "crank":
        pull_in = voltage_limit("relay_pull_in", assessment.results.network.system_v)
        return Limit(pull_in.source.line(), low=pull_in.value, words="the relay must pull in")
    if point.what == "contact_mv":
        return _piece(assessment, "switch or solenoid contact")
    if point.what == "current":
        return _fuse_rating(assessment, (point.kind, point.subject))
    if point.what == "coil_85_mv":
        return _earth_drop(assessment, state)
    if point.kind == "feed":
        return _piece(assessment, "high-current cable") if point.what == "drop_mv" else None
    return _circuit(assessment, point, state, condition)


_OHMS_OF_PLUGS = ("pair_ohm", "signals_earth_ohm", "signals_supply_ohm")


def _plug(assessment: Assessment, point: Point) -> Limit:
    """Limits at plugs of looms, all common practice."""
    if point.unit == "ohm":
        return Limit(PRACTICE, high=CONTINUITY_OHM, words="more: another wire, or a bad joint")
    if point.what == "supplies_v":
        return Limit(PRACTICE, low=PLUG_SUPPLY_V * _scale(assessment), words="that of the battery, less 0.5 V at most")
    return Limit(PRACTICE, look_high=DEAD_V, high=0.5, words="dead: do not plug in what gets volts here")


def _scale(assessment: Assessment) -> float:
    return assessment.results.network.system_v / 12.0


def _state(assessment: Assessment, condition: str) -> str:
    ids = assessment.condition_ids
    return assessment.results.network.conditions[ids.index(condition)].state if condition in ids else condition


def _ohms(point: Point) -> Limit | None:
    if point.what == "pair_ohm":
        low, high, source = commissioning.can_pair_ohm()
        return Limit(source.line(), low=low, high=high)
    if point.what in ("earth_ohm", "all_earth_ohm", "other_feeds_ohm", "plus_to_earth_ohm", "high_earth_ohm",
                      "low_earth_ohm", "signals_earth_ohm", "signals_supply_ohm"):
        return Limit(PRACTICE, low=STOP_OHM, look_low=OPEN_OHM,
                     words="1 MΩ or more: open; below: something is still plugged in, or wet; below 1 kΩ: stop")
    return None


def _battery(assessment: Assessment, point: Point, state: str, temperature_c: float) -> Limit | None:
    scale = _scale(assessment)
    if point.what == "ripple_mv":
        look, fault = commissioning.ripple_v()
        return Limit(f"{look.source.line()}; {fault.source.line()}", look_high=look.value, high=fault.value)
    if point.what == "drain":
        return _drain()
    if point.what in ("load_test_v", "reserve_v") or (point.what == "volts" and state == "crank"):
        least = commissioning.load_test_v(temperature_c)
        if least is None:
            return None
        return Limit(least.source.line(), low=least.value * scale, words=f"at {writing.stated(temperature_c, '°C')}")
    if point.what == "volts" and state == "rested":
        return Limit("a small car's manual: 12.5 V poor, 12.6 V normal, 12.7 V good; 12.4 V for any drop test is "
                     "common practice, no source", low=READY_V * scale, look_low=POOR_V * scale)
    if point.what == "volts" and state == "running":
        return charging_limit(assessment, temperature_c)
    return None


def charging_limit(assessment: Assessment, temperature_c: float) -> Limit | None:
    """The charging window at a temperature: what some document allows; what only some allow is looked at."""
    windows, scale = commissioning.charging_windows(temperature_c), _scale(assessment)
    if not windows:
        return None
    words = "; ".join(f"{at_least(each.low_v, 'V')} to {at_most(each.high_v, 'V')} "
                      f"({each.source.line()})" for each in windows)
    return Limit("; ".join(each.source.line() for each in windows), low=min(each.low_v for each in windows) * scale,
                 high=max(each.high_v for each in windows) * scale,
                 look_low=max(each.low_v for each in windows) * scale,
                 look_high=min(each.high_v for each in windows) * scale,
                 words=f"at {writing.stated(temperature_c, '°C')}, 12 V: {words}")


def _drain() -> Limit:
    printed = drain_guidelines()
    rows = {str(row["words"]): row for row in printed.rows()}
    look, fault = rows["excessive above"], rows["trouble above"]
    return Limit(f"{row_source(printed, look).line()}; {row_source(printed, fault).line()}; published figures run from "
                 "20 to 150 mA", look_high=float(str(look["high_ma"])) / 1e3, high=float(str(fault["high_ma"])) / 1e3)


def _alternator(assessment: Assessment, point: Point) -> Limit | None:
    scale = _scale(assessment)
    printed = table("alternator_cable_limits")
    if point.what == "cable_mv":
        rows = [row for row in printed.rows() if row["side"] == "supply"]
        found = [(float(str(row["drop_v"])) * scale, row_source(printed, row)) for row in rows]
        most, least = max(found, key=lambda each: each[0]), min(found, key=lambda each: each[0])
        return Limit(f"{least[1].line()}; {most[1].line()}", look_high=least[0], high=most[0])
    if point.what == "case_mv":
        back = printed.known("side", "return", "drop_v")
        return Limit(back.source.line(), high=back.value * scale)
    return None


def _bolted(assessment: Assessment, point: Point, condition: str) -> Limit | None:
    """A joint that is bolted on the engine, held against a stud at the most current planned through it, and as a fault
    against what the whole earth side may drop; None for what has a strap or a panel in it."""
    earth = assessment.plan.earth[point.subject]
    if point.what != "strap_mv" or not earth.engine or earth.wire or earth.upstream is None:
        return None
    most = expected(assessment, points(assessment)[joined(("earth", point.subject, "current"))], condition).high
    stud = commissioning.stud_ohm(STUD_A)
    if most is None or stud is None or most <= 0:
        return None
    whole = _earth_drop(assessment, _state(assessment, condition))
    return Limit(f"{stud.source.line()}; {whole.source}", look_high=most * stud.value, high=whole.high,
                 words=f"{writing.stated(1e3 * stud.value, 'mΩ')}: "
                 f"{writing.stated(1e3 * stud.value * STUD_A, 'mV')} at {writing.stated(STUD_A, 'A')}")


def _earth_drop(assessment: Assessment, state: str) -> Limit:
    rule = assessment.limit_set.return_limit(state == "crank", assessment.results.network.system_v)
    if state == "crank" and rule is not None:
        return Limit(rule.source, high=rule.volts)
    look, fault = commissioning.earth_drop_v()
    scale = _scale(assessment)
    if rule is not None:
        return Limit(f"{rule.source}; good below {writing.stated(look.value, 'V')}: {look.source.line()}",
                     look_high=look.value * scale, high=rule.volts)
    # A set that limits both sides together says nothing of one of them.
    return Limit(_both(look.source, fault.source), look_high=look.value * scale, high=fault.value * scale)


def _both(one: Source, other: Source) -> str:
    return one.line() if one == other else f"{one.line()}; {other.line()}"


def _piece(assessment: Assessment, piece: str) -> Limit:
    printed = table("sae_drop_by_piece")
    look, fault = printed.known("piece", piece, "drop_v"), printed.known("piece", "whole circuit", "drop_v")
    scale = _scale(assessment)
    return Limit(look.source.line(), look_high=look.value * scale, high=fault.value * scale)


def _fuse_rating(assessment: Assessment, owner: tuple[str, str]) -> Limit | None:
    """The fuse a current flows through; None without one, or where its rating is not known."""
    device = assessment.fuse_of.get(owner)
    rating = math.nan if device is None else float(assessment.results.fusing.rating_a[device])
    if math.isnan(rating):
        return None
    return Limit("rating printed on the fuse", high=rating, words=f"fuse of {writing.rating(rating)}")


def _circuit(assessment: Assessment, point: Point, state: str, condition: str) -> Limit | None:
    results, circuit = assessment.results, assessment.plan.circuit[point.subject]
    network = results.network
    if point.what == "off_v":
        return Limit(PRACTICE, look_high=DEAD_V, high=0.5, words="dead: 0.5 V or more is a second feed")
    if point.what in ("return_mv", "earth_mv", "earth_point_mv"):
        return _earth_drop(assessment, state)
    if point.what == "load_v":
        return _load_volts(assessment, point, circuit, state)
    if point.what not in ("supply_mv", "wire_mv") or point.load >= len(circuit.load):
        return None
    cranking = next((row for row, each in enumerate(network.conditions) if each.state == "crank"), -1)
    if state == "crank" and consumer_of(bench_model(assessment), point.subject, point.load) == starter_consumer(
            network, cranking):
        side = side_limit("supply", network.system_v)
        return Limit(side.source.line(), high=side.value)
    lasts = "continuous" if assessment.circuit(point.subject).use_of(point.load) in LASTING else "intermittent"
    found = results.limit_set.drop_limit(drop_class_of(circuit), network.system_v, lasts)
    if found is None:
        return None
    words = "supply and earth side together" if results.limit_set.drop_covers_return else "supply side"
    before = _before_feed(assessment, circuit, point.subject, condition)
    if before > 0.0:
        words += (f"; {writing.limit(found.value, 'V')} in all, {writing.burden(before, 'V')} of it planned before "
                  "this feed")
    return Limit(found.source.line(), high=max(0.0, found.value - before), words=words)


def _before_feed(assessment: Assessment, circuit: Circuit, name: str, condition: str) -> float:
    """What is planned to be lost between where the limit counts from and the feed of the circuit, where the red probe
    is put [V]: so much less is left for what is read."""
    model, network = bench_model(assessment), assessment.results.network
    row, feed = model.row(condition, name), network.feed_node.get(circuit.feed or "")
    if row is None or feed is None:
        return 0.0
    ids = network.condition_ids
    start = counted_node(network, circuit, ids.index(condition) if condition in ids else None)
    lost = model.span(row, between((False, start), (False, feed)))[0]
    return lost if lost > NOTHING_V else 0.0


def _load_volts(assessment: Assessment, point: Point, circuit: Circuit, state: str) -> Limit | None:
    load = circuit.load[point.load]
    share, system_v = assessment.limit_set.drop.lamp_share, assessment.results.network.system_v
    if load.kind == "lamp" and share is not None and state == "running":
        printed = table("ccr_13_1249_lamp_voltage")
        design = float(load.design_voltage or load.at or system_v)
        return Limit(printed.citation.line(), low=share * design,
                     words=f"{writing.stated(share, 'share')} of {writing.stated(design, 'V')}")
    if state == "crank" and load.kind == "electronic" and "crank" in must_run(point.subject, circuit):
        least, safe = (voltage_limit(name, system_v) for name in ("control_unit_least", "control_unit_safe"))
        return Limit(f"{least.source.line()}; {safe.source.line()}", low=least.value, look_low=safe.value)
    if state == "crank" and circuit.drop_class == "starter_control":
        pull_in = voltage_limit("solenoid_pull_in", system_v)
        return Limit(pull_in.source.line(), low=pull_in.value)
    return None
