"""What a reading says at once: against the limit, and against what is expected of this car, in the light of what the
meter may be off by."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from fuseplan.bench.expected import Expected, expected
from fuseplan.bench.instruments import instrument_for
from fuseplan.bench.limits import Limit, limit_for
from fuseplan.bench.meter_figures import at_least, at_most, ohms
from fuseplan.bench.points import Point
from fuseplan.bench.readings import TakenReading
from fuseplan.bench.solved_rows import REST_V
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.source import open_circuit_v
from fuseplan.formulas.resistance import resistance_from_drop
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import commissioning

Level = Literal["ok", "look", "fault", "none"]
LEVEL_WORDS: dict[Level, str] = {"ok": "ok", "look": "LOOK", "fault": "FAULT", "none": "no verdict"}
BAD_SHARE, BAD_OHM = 1.25, 0.002
"""A length of wire, a joint or an earth is bad above this multiple of its planned resistance and so much more. Common
practice, no source; tried on the seven faults of one circuit with readings off by their meters' errors."""
DRIFT = 0.02
"""Share by which the current may drift between two readings one after the other."""


@dataclass(frozen=True)
class ReadingVerdict:
    """What a reading says."""

    level: Level
    words: str


def verdict(assessment: Assessment, reading: TakenReading, current: TakenReading | None = None,
            rested: TakenReading | None = None, temperature_c: float = 20.0) -> ReadingVerdict:
    """The verdict on a reading.

    Args:
        current: the current of the same circuit in the same condition: a drop is then judged by its resistance
        rested: the volts of the rested battery: charging volts are then judged against it too
        temperature_c: temperature of battery and regulator
    """
    point = reading.point
    meant = _from_rest(assessment, reading, expected(assessment, point, reading.condition), rested)
    limit = limit_for(assessment, point, reading.condition, temperature_c)
    error = 0.0 if math.isinf(reading.value) else instrument_for(point.unit, reading.value).error(reading.value)
    judged = against_limit(point, reading.value, error, limit)
    planned = _by_ohms(assessment, reading, meant, current) if point.unit == "mV" and current is not None else None
    planned = planned or against_expected(point, reading.value, error, meant)
    found = [each for each in (judged, planned, _over_rest(assessment, reading, rested)) if each.level != "none"]
    if not found:
        return ReadingVerdict("none", meant.words or "nothing on file to hold it against")
    worst = max(found, key=lambda each: ("ok", "look", "fault").index(each.level))
    words = "; ".join(each.words for each in found if each.level == worst.level and each.words)
    return ReadingVerdict(worst.level, words)


SAG_V = 0.15
"""So much may a battery lose on 12 V while circuit after circuit is switched on. Common practice, no source."""


def _from_rest(assessment: Assessment, reading: TakenReading, meant: Expected, rested: TakenReading | None) -> Expected:
    """What is expected of volts at a load with the engine off, from what the battery was read at instead of from all it
    may have: half a volt lost on the way then shows."""
    if rested is None or reading.condition != "alone" or reading.point.what != "load_v" or meant.low is None or \
            meant.high is None:
        return meant
    network = assessment.results.network
    scale = network.system_v / 12.0
    off = rested.value - float(open_circuit_v(network.plan.battery, network.system_v))
    error = instrument_for("V", rested.value).error(rested.value)
    low, high = meant.low + off + REST_V * scale - error - SAG_V * scale, meant.high + off - REST_V * scale + error
    return replace(meant, low=max(meant.low, low), high=min(meant.high, high)) if low < high else meant


def _over_rest(assessment: Assessment, reading: TakenReading, rested: TakenReading | None) -> ReadingVerdict:
    """Charging volts against the rested battery."""
    network = assessment.results.network
    if rested is None or reading.point.address != "battery.volts" or reading.condition not in network.condition_ids or \
            network.conditions[network.condition_ids.index(reading.condition)].state != "running":
        return ReadingVerdict("none", "")
    return charging_over_rest(reading.value, rested.value, network.system_v / 12.0)


def charging_over_rest(charging_v: float, rested_v: float, scale: float = 1.0) -> ReadingVerdict:
    """Charging volts against the rested battery; `scale` is the system voltage over 12 V."""
    most, least = commissioning.charging_rule_v("no_load_most"), commissioning.charging_rule_v("loaded_least")
    if charging_v > rested_v + most.value * scale:
        return ReadingVerdict("fault", f"more than {writing.stated(most.value * scale, 'V')} above the rested battery")
    if charging_v < rested_v + least.value * scale:
        return ReadingVerdict("fault", f"less than {writing.stated(least.value * scale, 'V')} above the rested "
                                       "battery: not charging")
    return ReadingVerdict("ok", "above the rested battery as it should be")


def against_limit(point: Point, value: float, error: float, limit: Limit | None) -> ReadingVerdict:
    """A reading against its published limit: a fault where it is beyond it by more than the meter may be off by."""
    if limit is None:
        return ReadingVerdict("none", "")
    if point.what == "pair_ohm":
        state = commissioning.can_pair_state(value).value
        return ReadingVerdict("ok" if limit.low is not None and limit.high is not None
                              and limit.low <= value <= limit.high else "fault", state)
    action = commissioning.joint_rise_action(value, like=True) if point.unit == "K" else None
    if action is not None:
        return ReadingVerdict("fault" if limit.high is not None and value >= limit.high else "look", action.value)
    ends: tuple[tuple[float | None, int, Level], ...] = (
        (limit.low, -1, "fault"), (limit.high, 1, "fault"), (limit.look_low, -1, "look"), (limit.look_high, 1, "look"))
    for bound, side, level in ends:
        if bound is None or (value - bound) * side <= 0:
            continue
        over, words = ("above", at_most(bound, point.unit)) if side > 0 else ("below", at_least(bound, point.unit))
        if level == "fault" and (value - side * error - bound) * side <= 0:
            return ReadingVerdict("look", f"{over} the limit {words}, by no more than the meter may be off")
        return ReadingVerdict(level, f"{over} {'the limit ' if level == 'fault' else ''}{words}")
    return ReadingVerdict("ok", "within the limit")


DEAD_SHARE = 0.5
"""Amps or volts of less than this share of the least that is planned are no matter of tolerance: open, or not switched.
Common practice, no source."""
_LESS_IS_NOT_DEAD = (("circuit", "bulb_v"), ("battery", "current"))
"""A bulb behind which there is less than planned; what the loads take beyond the alternator, which may deliver more."""


def against_expected(point: Point, value: float, error: float, meant: Expected) -> ReadingVerdict:
    """A reading against what is expected of this car."""
    if not meant.known or (meant.low is None and meant.high is None):
        return ReadingVerdict("none", "")
    if point.unit in ("A", "V") and (point.kind, point.what) not in _LESS_IS_NOT_DEAD and meant.low is not None \
            and abs(value) + error < DEAD_SHARE * meant.low:
        return ReadingVerdict("fault", f"less than half of what is planned, {at_least(meant.low, point.unit)} or more")
    if meant.low is not None and value + error < meant.low:
        return ReadingVerdict("look", f"less than planned, {at_least(meant.low, point.unit)} or more")
    if meant.high is not None and value - error > meant.high:
        return ReadingVerdict("look", f"more than planned, {at_most(meant.high, point.unit)} or less")
    return ReadingVerdict("ok", "as planned")


def leg_ohm(drop_v: float, current_a: float) -> float:
    """Resistance of what drops so much at a current [ohm]."""
    return float(resistance_from_drop(drop_v, current_a))


def _by_ohms(assessment: Assessment, reading: TakenReading, meant: Expected,
             current: TakenReading | None) -> ReadingVerdict | None:
    """A drop judged by its resistance at the measured current: a bad joint lowers the current, and with it every drop,
    its own too. None where that says nothing."""
    if current is None or current.value <= 0 or meant.high is None or reading.point.what not in _LEGS:
        return None
    flowing = expected(assessment, current.point, current.condition)
    if flowing.value is None or flowing.high is None or flowing.high <= 0:
        return None
    meter = instrument_for("mV").error(reading.value)
    clamp = instrument_for("A", current.value).error(current.value)
    least = leg_ohm(max(0.0, reading.value - meter), (current.value + clamp) * (1.0 + DRIFT))
    planned = leg_ohm(meant.high, flowing.high)
    found = leg_ohm(reading.value, current.value)
    if least > BAD_SHARE * planned + BAD_OHM:
        return ReadingVerdict("look", f"{ohms(found)} where {ohms(planned)} is planned")
    return ReadingVerdict("ok", f"{ohms(found)}, planned {ohms(planned)}")


_LEGS = ("fuse_mv", "holder_mv", "contact_mv", "wire_mv", "supply_mv", "earth_mv")
"""Drops that the current of the circuit alone makes."""
