"""Published limits of tests on the finished car: battery, charging, ripple, earths, joints, insulation, data bus."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.tables.load import Cited, Source, row_source, table

WARM_C = 20.0
"""From here up the load test asks for the same voltage."""


class ChargingWindow(NamedTuple):
    """Charging voltage at one temperature by one document, 12 V."""

    low_v: float
    high_v: float
    source: Source


def load_test_v(temperature_c: float) -> Cited[float] | None:
    """Least voltage of a 12 V battery after 15 s at half its cold-cranking current; None below the coldest row."""
    printed = table("battery_load_test")
    rows, volts = printed.array("temperature_c"), printed.array("min_v")
    if temperature_c < rows[0]:
        return None
    at = min(temperature_c, WARM_C)
    nearest = printed.rows()[int(np.abs(rows - at).argmin())]
    return Cited(float(np.interp(at, rows, volts)), row_source(printed, nearest))


def charging_windows(temperature_c: float) -> tuple[ChargingWindow, ...]:
    """Charging voltage by every document that covers a temperature; nothing beyond its rows."""
    printed = table("charging_windows")
    found = []
    for name in dict.fromkeys(printed.texts("window")):
        rows = [row for row in printed.rows() if row["window"] == name]
        at, *ends = (np.array([float(str(row[key])) for row in rows]) for key in ("temperature_c", "min_v", "max_v"))
        if at[0] <= temperature_c <= at[-1]:
            low, high = (float(np.interp(temperature_c, at, each)) for each in ends)
            found.append(ChargingWindow(low, high, row_source(printed, rows[0])))
    return tuple(found)


def charging_rule_v(rule: str) -> Cited[float]:
    """How far above the rested battery the charging voltage may or must lie: ``no_load_most``, ``loaded_least``."""
    return table("charging_rules").known("rule", rule, "above_rest_v")


def ripple_v() -> tuple[Cited[float], Cited[float]]:
    """AC ripple at which to look, and at which it is a fault."""
    printed = table("ripple_limits")
    return printed.known("words", "bad above", "ripple_v"), printed.known("words", "limit", "ripple_v")


def earth_drop_v() -> tuple[Cited[float], Cited[float]]:
    """Drop of an earth side that is still good, and above which it is a fault, 12 V."""
    printed = table("earth_drop_limits")
    return printed.known("words", "good below", "drop_v"), printed.known("words", "fault above", "drop_v")


def stud_ohm(current_a: float) -> Cited[float] | None:
    """Resistance of a stud terminal by its rated current; None for a rating that is not printed."""
    found = table("mil_dtl_83454a_studs").cited("rated_a", current_a, "drop_mv")
    return None if found is None else Cited(found.value / 1000.0 / current_a, found.source)


def insulation_mohm(temperature_f: float) -> Cited[float]:
    """Least insulation of a bare loom at a temperature, in Mohm."""
    printed = table("insulation_limits")
    limit, above, below, share = (printed.known("quantity", key, "value") for key in (
        "limit_mohm", "falls_above_f", "rises_below_f", "share_per_f"))
    off = max(0.0, below.value - temperature_f) - max(0.0, temperature_f - above.value)
    return Cited(max(0.0, limit.value * (1.0 + share.value * off)), limit.source)


def can_pair_state(ohm: float) -> Cited[str]:
    """What a resistance between CAN high and CAN low says."""
    printed = table("can_pair_readings")
    row = next(row for row in printed.rows() if row["to_ohm"] is None or ohm < float(str(row["to_ohm"])))
    return Cited(str(row["state"]), row_source(printed, row))


def can_pair_ohm() -> tuple[float, float, Source]:
    """The resistance between CAN high and CAN low that is right: from, to, source."""
    printed = table("can_pair_readings")
    low, high = (printed.known("state", "both ends fitted", end) for end in ("from_ohm", "to_ohm"))
    return low.value, high.value, low.source


def joint_rise_action(rise_k: float, like: bool) -> Cited[str] | None:
    """What to do about a joint that is warmer than a like part with a like load, or than its surroundings; None where
    nothing is to be done."""
    printed = table("joint_temperature_rises")
    key = "like_from_k" if like else "ambient_from_k"
    action = None
    for row in printed.rows():
        # The printed rows leave gaps between whole kelvins: a row holds until the next begins.
        if row[key] is not None and rise_k >= float(str(row[key])):
            action = str(row["action"])
    return None if action is None else Cited(action, printed.citation)


def joint_rise_k() -> tuple[float, float, Source]:
    """Rise over a like part from which a fault is probable, and from which it is to be repaired at once [K]."""
    printed = table("joint_temperature_rises")
    starts = [float(str(row["like_from_k"])) for row in printed.rows() if row["like_from_k"] is not None]
    return starts[1], starts[-1], printed.citation
