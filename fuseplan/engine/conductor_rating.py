"""What a conductor of a size and insulation is rated for, and what it may carry alone at an ambient."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from fuseplan.engine.still_wire import DISAGREES, HEAT_BALANCE, balance_a
from fuseplan.errors import TableError
from fuseplan.formulas.thermal import derated_ampacity
from fuseplan.limits import LimitSet, Rated
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors, insulations
from fuseplan.trace import apply, cached, decided, given, number

WEAKEST = "pvc70"
"""Insulation taken where none is named: the lowest class sold."""


DERIVED_DIAMETER = "derived from the cross-section and the share of copper in a bunch of strands"


class Conductor(NamedTuple):
    """One conductor as the set of limits rates it, before ambient and neighbours; NaN for what is not on file."""

    r20_ohm_per_m: float
    area_mm2: float
    diameter_mm: float
    base_a: float
    max_c: float
    rated: Rated | None


class Allowance(NamedTuple):
    """What a conductor may carry alone at an ambient."""

    factor: float
    """Ambient factor; NaN where the limits have nothing on file for that ambient."""
    printed_a: float
    single_a: float
    """The allowance in force: the printed one, or a heat balance that falls short of it by more than 15 %."""
    base_a: float
    """The current that allowance is made from, and what is left of it: the printed one and its ambient factor, or the
    balance and 1."""
    left: float


UNRATED = Allowance(math.nan, math.nan, math.nan, math.nan, math.nan)


@cached(maxsize=4096)
def conductor_of(limit_set: LimitSet, size: str, insulation: str) -> Conductor:
    """The figures of a size and insulation."""
    wire = WireSize.read(size)
    try:
        top = insulations.insulation(insulation).max_c
    except TableError:
        top = insulations.insulation(WEAKEST).max_c
    try:
        found = conductors.conductor(wire.system, wire.name)
    except TableError:
        return Conductor(math.nan, math.nan, math.nan, math.nan, top, None)
    rated = limit_set.ampacity(wire, insulation)
    r20 = given(found.r20_ohm_per_m, "r₂₀", "ohm/m", f"resistance of {size} at 20 °C", lambda: found.source.line())
    area = given(found.area_mm2, "S", "mm²", f"cross-section of {size}", lambda: found.area_source.line())
    diameter = given(found.diameter_mm, "d", "mm", f"diameter of the conductor of {size}",
                     DERIVED_DIAMETER)
    if rated is None:
        class_c = given(top, "Tₘ", "°C", f"what {insulation} is rated for",
                        lambda: insulations.insulation(insulation).source.line())
        return Conductor(r20, area, diameter, math.nan, class_c, None)
    column = "" if not rated.by_class or rated.printed_c is None else \
        f", {writing.stated(rated.printed_c, '°C')} column"
    return Conductor(
        r20, area, diameter,
        given(rated.base_a, "I₀", "A", f"printed current for {size}, {rated.row}{column}", lambda: rated.source.line()),
        given(rated.max_c, "Tₘ", "°C", f"what {insulation} is rated for under this set of limits",
              lambda: rated.class_source), rated)


@cached(maxsize=16384)
def allowance_of(limit_set: LimitSet, size: str, insulation: str, ambient_c: float) -> Allowance:
    """What a size and insulation may carry alone at an ambient in °C: 0 at or above the insulation's limit."""
    conductor = conductor_of(limit_set, size, insulation)
    rated = conductor.rated
    if rated is None:
        return UNRATED
    factor = rated.ambient_factor(ambient_c)
    alone = given(1.0, "g", "-", "alone", "definition")
    printed = number(apply(derated_ampacity, ampacity_a=conductor.base_a, ambient_factor=factor, group_factor=alone))
    balance = balance_a(*map(float, (conductor.r20_ohm_per_m, conductor.area_mm2, conductor.diameter_mm)), insulation,
                        float(ambient_c), float(conductor.max_c))
    if not balance < printed * (1.0 - DISAGREES):
        return Allowance(factor, printed, printed, conductor.base_a, factor)
    lower = decided(balance, "I₀", "A", lambda: "a heat balance lets it carry less than that, by more than "
                    f"{writing.stated(DISAGREES, 'share')}: the lower holds, and ambient is in it", HEAT_BALANCE,
                    printed)
    return Allowance(factor, printed, lower, lower, given(1.0, "f", "-", "ambient is in it already", HEAT_BALANCE))


@lru_cache(maxsize=1024)
def unlisted_size(size: WireSize) -> str:
    """Why nothing is on file for a size, and which sizes of its system are; empty where it is on file."""
    try:
        conductors.conductor(size.system, size.name)
    except TableError as error:
        return str(error)
    return ""
