"""Loads: how their current follows voltage, and what they draw at switch-on."""

from __future__ import annotations

from functools import cache
from typing import get_args

from fuseplan.plan.words import LoadKind
from fuseplan.tables.load import Cited, table

KINDS: tuple[LoadKind, ...] = get_args(LoadKind)


@cache
def exponent(kind: str) -> Cited[float]:
    """Exponent n of I = I_ref · (U/U_ref)^n for a load kind. Raises TableError for an unknown kind."""
    return table("load_voltage_exponents").known("kind", kind, "exponent")


EXPONENTS: dict[str, float] = {kind: exponent(kind).value for kind in KINDS}


def starter_stall_v() -> Cited[float]:
    """Voltage at which the starter on file, standing still, takes its running current, from the lower end of its locked
    current: it stalls no later than this."""
    printed = table("starter_points")
    loaded, locked = (printed.known("point", point, "current_from_a").value for point in ("loaded", "locked"))
    return Cited(printed.known("point", "locked", "voltage_v").value * loaded / locked, printed.citation)


@cache
def default_inrush(kind: str) -> Cited[tuple[float, float]]:
    """Switch-on multiple of the running current and its length in s, where a load gives none."""
    printed = table("inrush_duration_by_load_kind")
    return Cited((printed.known("kind", kind, "multiple").value, printed.known("kind", kind, "time_s").value),
                 printed.citation)
