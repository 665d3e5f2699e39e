"""Quotients and heating of arrays that hold what is not known and what has no limit, without a division by nothing."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.formulas.adiabatic import temperature_after_heat
from fuseplan.trace import apply, bare, chosen, given, smaller

COPPER_MELTS_C = 1083.0
"""Copper melts; a computed temperature stops here. From memory."""
_GONE_A2S_PER_MM4 = 10.0 * 226.0**2
"""Heat that brings copper from any temperature far past its melting point: more of it changes nothing."""


def ratio(over: ArrayLike, under: ArrayLike) -> Floats:
    """Quotient of two arrays (broadcast), both 0 or more: infinite where something stands over nothing, NaN where one
    of them is not known, where both are nothing and where both are infinite."""
    above, below = np.broadcast_arrays(np.asarray(over, dtype=float), np.asarray(under, dtype=float))
    plain = (below > 0) & ~(np.isinf(above) & np.isinf(below))
    found = np.where((below == 0) & (above > 0), np.inf, np.nan)
    np.divide(above, below, out=found, where=plain)
    return found


def heated_c(start_c: Floats, heat_a2s: Floats, area_mm2: Floats) -> Floats:
    """Temperature of conductors in °C after a heat I²t that stays in the copper, no higher than where copper melts;
    NaN where one of the figures is not known (shapes broadcast)."""
    most = _GONE_A2S_PER_MM4 * bare(area_mm2)**2
    gone = given(np.broadcast_to(most, np.shape(heat_a2s)), "E", "A²s", "it may let through more than melts the wire; "
                 "counted no higher than this", "limit of this program")
    heat = chosen(bare(heat_a2s) > most, gone, heat_a2s, "")
    end = apply(temperature_after_heat, initial_c=start_c, heat_a2s=heat, area_mm2=area_mm2)
    return np.asanyarray(smaller("no hotter than where copper melts", end, melting()))


def melting() -> float:
    """Temperature in °C at which copper melts."""
    return given(COPPER_MELTS_C, "T", "°C", "copper melts", "physical constant, from memory")
