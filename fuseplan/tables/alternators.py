"""Alternators: what a label means, output over rotor speed, heat, regulator."""

from __future__ import annotations

import math
import re
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.records import dataclass
from fuseplan.tables.load import Cited, Source, table

LOW_RPM = 1500.0
"""Rotor speed of the first current of a two-current label (SAE J56, ISO 8854)."""

_NUMBER = r"(\d+(?:\.\d+)?)"
_TWO_CURRENTS = re.compile(rf"(?:{_NUMBER}\s*V\s+)?{_NUMBER}\s*/\s*{_NUMBER}\s*A(?:\s+{_NUMBER}\s*V)?", re.I)
_PERIOD_CODE = re.compile(rf"{_NUMBER}\s*V\s+{_NUMBER}\s*A\s+(\d\d)", re.I)
_PLAIN = re.compile(rf"(?:{_NUMBER}\s*V\s+)?{_NUMBER}\s*A(?:\s+{_NUMBER}\s*V)?", re.I)


@dataclass(frozen=True)
class AlternatorLabel:
    """What a label says: currents in A, rotor speed in r/min, voltage in V; None where it is silent.

    ``low_a`` flows at `LOW_RPM`, ``rated_a`` at 6000 r/min (SAE J56, ISO 8854). A period code gives the
    greatest current and ``two_thirds_rpm``, the speed at which two thirds of it flow.
    """

    text: str
    system_v: float | None
    low_a: float | None
    rated_a: float
    two_thirds_rpm: float | None


def parse_label(text: str) -> AlternatorLabel:
    """Read an alternator's label: "50/120A 13.5V", "14V 50/120A", "14V 35A 20" or "90 A".

    Raises TableError when it is of no known form, or when the low-speed current exceeds the rated one.
    """
    label = " ".join(text.split())
    if match := _PERIOD_CODE.fullmatch(label):
        volts, amperes, hundreds = match.groups()
        return AlternatorLabel(label, float(volts), None, float(amperes), float(hundreds) * 100)
    if match := _TWO_CURRENTS.fullmatch(label):
        before, low, rated, after = match.groups()
        if float(low) > float(rated):
            raise TableError(f"alternator label '{text}' has more current at low speed than rated")
        return AlternatorLabel(label, _volts(before, after), float(low), float(rated), None)
    if match := _PLAIN.fullmatch(label):
        before, rated, after = match.groups()
        return AlternatorLabel(label, _volts(before, after), None, float(rated), None)
    raise TableError(
        f"alternator label '{text}' is not understood; accepted are such as '50/120A 13.5V', '14V 35A 20' and '90 A'"
    )


def _volts(*candidates: str | None) -> float | None:
    return next((float(each) for each in candidates if each is not None), None)


def output_curve() -> Cited[tuple[Floats, Floats]]:
    """Rotor speeds in r/min and cold output as a share of rated current, both of shape (rows,)."""
    printed = table("alternator_output_curve")
    return Cited((printed.array("rotor_rpm"), printed.array("fraction")), printed.citation)


def hot_factor(rotor_rpm: ArrayLike) -> Floats:
    """Hot over cold output at rotor speeds: straight line between the two rows, below and above them the nearest."""
    printed = table("alternator_hot_factors")
    return np.asarray(np.interp(np.asarray(rotor_rpm, dtype=float), printed.array("rotor_rpm"),
                                printed.array("factor")))


def hot_source() -> Source:
    """Where the hot factors come from."""
    return table("alternator_hot_factors").citation


@cache
def _rule(quantity: str) -> Cited[float]:
    return table("regulator_rule").known("quantity", quantity, "value")


def regulator_slope() -> Cited[float]:
    """Change of the regulator's regulator voltage in V/K."""
    return _rule("slope_v_per_k")


def regulator_20_c_v() -> Cited[float]:
    """Regulator voltage in V at 20 °C."""
    return _rule("regulator_20_c_v")


def alternator_cable_limit_ohm(system_v: float = 12.0, rated_a: float = math.inf) -> Cited[float]:
    """Largest resistance in ohm of the charging lead: two workshop limits give the same at 12 V; at other voltages the
    drop at the same current is taken in proportion to the system voltage, as those of all other leads are. A machine
    rated for less than either test asks for may lose the smaller of the two drops at its rated output."""
    printed = table("alternator_cable_limits")
    tests = [row for row in printed.rows() if row["side"] == "supply"]
    row = min(tests, key=lambda each: float(str(each["current_a"])))
    is_small = rated_a < float(str(row["current_a"]))
    if not is_small:
        row = tests[0]
    words = f"{row['drop_v']} V at {row['current_a']} A{', of which it gives less' if is_small else ''}"
    if system_v != 12.0:
        words += ", scaled from 12 V in proportion to the system voltage"
    limit = float(str(row["drop_v"])) / (rated_a if is_small else float(str(row["current_a"]))) * system_v / 12.0
    return Cited(limit, Source(printed.title, str(row["document"]), words, "derived"))


def efficiency() -> Cited[float]:
    """Efficiency of the alternator alone."""
    return table("alternator_efficiency").known("part", "alternator", "efficiency")
