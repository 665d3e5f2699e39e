"""Batteries: state of charge, cold-crank tests, Peukert, self-discharge, reserve, drain, freezing."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.load import Cited, Source, Table, of_name, row_source, table


@dataclass(frozen=True)
class ColdCrankTest:
    """One cold-cranking test: temperature in °C, duration in s, least voltage in V at its end."""

    id: str
    words: str
    temperature_c: float
    duration_s: float
    end_v: float
    source: Source


def ocv_from_soc(state_of_charge: ArrayLike) -> Floats:
    """Rested voltage in V of a 12 V battery at 27 °C from the state of charge 0 to 1; nan outside."""
    printed = table("battery_open_circuit_voltage")
    volts, shares = printed.array("ocv_v"), printed.array("soc_percent") / 100
    found = np.interp(np.asarray(state_of_charge, dtype=float), shares, volts, left=np.nan, right=np.nan)
    return np.asarray(found)


def ocv_source() -> Source:
    """Where voltage against state of charge was printed."""
    return table("battery_open_circuit_voltage").citation


@cache
def cold_crank_tests() -> dict[str, ColdCrankTest]:
    """The tests by id: en, sae, din, iec."""
    printed = table("cold_crank_tests")
    found: dict[str, ColdCrankTest] = {}
    for row in printed.rows():
        temperature_c, duration_s, end_v = (
            float(str(row[heading])) for heading in ("temperature_c", "duration_s", "end_v")
        )
        name = str(row["id"])
        found[name] = ColdCrankTest(name, str(row["words"]), temperature_c, duration_s, end_v, row_source(printed, row))
    return found


def cold_crank_test(test_id: str) -> ColdCrankTest:
    """The test of that id. Raises TableError."""
    return of_name(cold_crank_tests(), test_id, "cold-crank test")


def peukert_default(kind: str) -> Cited[float]:
    """Peukert exponent, C20 form, of a construction: liquid or agm. Raises TableError."""
    return table("peukert_exponents").known("kind", kind, "exponent")


def self_discharge_per_month(kind: str, temperature_c: float) -> Cited[float]:
    """Share of capacity lost a month by a construction, at the next hotter of 10 and 20 °C.

    Raises TableError for an unknown construction or above 20 °C.
    """
    if temperature_c > 20:
        raise TableError(f"no self-discharge at {writing.stated(temperature_c, '°C')}; printed are 10 and 20 °C")
    heading = "at_10_c" if temperature_c <= 10 else "at_20_c"
    return table("battery_self_discharge").known("kind", kind, heading)


def reserve_capacity_ah(minutes: float) -> dict[str, Cited[float]]:
    """Capacity in Ah from reserve capacity in minutes by each published rule; the rules differ."""
    printed = table("reserve_capacity_rules")
    return {
        str(row["id"]): Cited(
            float(str(row["slope"])) * minutes + float(str(row["offset_ah"])), row_source(printed, row)
        )
        for row in printed.rows()
    }


def no_start_share() -> Cited[float]:
    """Share of the available capacity whose loss means that the engine may not start."""
    return table("no_start_rule").known("quantity", "no_start_share", "value")


def usable_share() -> Cited[float]:
    """Share of the capacity counted on after the alternator has failed."""
    return table("battery_usable_share").known("quantity", "usable_share", "value")


def freezing_c(state_of_charge: float) -> Cited[float] | None:
    """Temperature in °C at which the acid freezes, next row down; None below 25 % charge."""
    printed = table("battery_freezing_points")
    index = int(np.searchsorted(printed.array("soc_percent"), state_of_charge * 100 + 1e-9, side="right")) - 1
    return None if index < 0 else Cited(float(printed.array("freezing_c")[index]), printed.citation)


def drain_guidelines() -> Table:
    """Standing-drain guidelines; they disagree."""
    return table("standing_drain_guidelines")
