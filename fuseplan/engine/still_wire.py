"""One wire alone in still air: its diameters, and what a heat balance would let it carry."""

from __future__ import annotations

import math
from functools import lru_cache

from fuseplan.engine.still_air import ampacity_by_heat_balance
from fuseplan.errors import TableError
from fuseplan.tables import insulations

EMISSIVITY = 0.9
"""Of a plastic or painted surface. From memory; the value the published ampacities were checked with."""
HEAT_BALANCE = ("heat balance of one wire in still air: Churchill–Chu for a horizontal cylinder, radiation, conduction "
                "through the insulation")
DISAGREES = 0.15
"""A balance that falls short of the printed ampacity by more than this share disagrees with it: the lower holds."""
WALL = 0.35
"""Wall in mm of a wire whose diameter is not printed, times the square root of the conductor's diameter in mm; the
printed diameters follow it within a fifth (derived)."""


@lru_cache(maxsize=4096)
def outside(area_mm2: float, diameter_mm: float, insulation: str) -> tuple[float, float]:
    """(outside diameter in m, conductivity of the insulation in W/(m K)) of a wire."""
    try:
        found = insulations.outside_diameter_mm(area_mm2, insulation)
        conductivity = insulations.insulation(insulation).conductivity_w_mk
    except TableError:
        found, conductivity = None, 0.17
    over = found.value if found is not None else diameter_mm + 2 * WALL * math.sqrt(diameter_mm)
    return max(over, diameter_mm * 1.02) / 1000.0, conductivity


@lru_cache(maxsize=8192)
def balance_a(r20_ohm_per_m: float, area_mm2: float, diameter_mm: float, insulation: str, ambient_c: float,
              max_c: float) -> float:
    """Current in A that brings a lone wire from its ambient to its limit; NaN where the wire is not known or the
    ambient is at the limit."""
    if math.isnan(r20_ohm_per_m) or math.isnan(area_mm2) or ambient_c >= max_c:
        return math.nan
    over, conductivity = outside(area_mm2, diameter_mm, insulation)
    return float(ampacity_by_heat_balance(max_c - ambient_c, r20_ohm_per_m, diameter_mm / 1000.0, over, ambient_c,
                                          conductivity, EMISSIVITY))
