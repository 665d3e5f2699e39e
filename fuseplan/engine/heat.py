"""Steady temperature of every segment by a heat balance, beside the printed ampacity; never used to allow more."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.conductor_rating import DERIVED_DIAMETER
from fuseplan.engine.demand import Demands
from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solution
from fuseplan.engine.still_air import ampacity_by_heat_balance, steady_temperature, surface_loss
from fuseplan.engine.still_wire import EMISSIVITY, HEAT_BALANCE, outside
from fuseplan.formulas.insulation import insulation_resistance, wire_heat
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.formulas.still_air import surface_rise
from fuseplan.formulas.thermal import current_alone
from fuseplan.tables import insulations
from fuseplan.trace import apply, decided, given, plainly, recording

HOTTEST_C = 1083.0


class _Wires(NamedTuple):
    """What a heat balance asks of each segment, arrays (S,), NaN where unknown."""

    r20_ohm_per_m: Floats
    conductor_d_m: Floats
    outside_d_m: Floats
    ambient_c: Floats
    conductivity_w_mk: Floats


def _wires(network: Network) -> _Wires:
    segments = network.segments
    rows = [outside(area, diameter, insulation) if area == area else (np.nan, 0.17) for area, diameter, insulation in
            zip(plainly(segments.area_mm2).tolist(), plainly(segments.diameter_mm).tolist(), segments.insulation,
                strict=True)]
    pairs = np.array(rows, dtype=float).reshape(-1, 2)

    def printed(index: int) -> str:
        found = insulations.outside_diameter_mm(float(segments.area_mm2[index]), segments.insulation[index])
        return found.source.line() if found else "none printed: wall from the conductor's diameter (derived)"

    return _Wires(
        np.where(segments.r20_known, segments.r20_ohm_per_m, np.nan),
        given(plainly(segments.diameter_mm) / 1000.0, "d", "m", "diameter of the conductor",
              DERIVED_DIAMETER),
        given(pairs[:, 0], "D", "m", lambda index: f"outside diameter with {segments.insulation[index]}", printed),
        segments.ambient_c,
        given(pairs[:, 1], "λ", "W/(m·K)", lambda index: f"conductivity of {segments.insulation[index]}",
              lambda index: insulations.insulation(segments.insulation[index]).source.line()))


def steady_c(network: Network, solution: Solution, demands: Demands) -> Floats:
    """Conductor temperature in °C of each segment at its lasting demand (S,).

    Wires that share a run heat each other: the current is raised by the inverse of the limits' grouping factor
    for the conductors counted there. NaN where the wire is not known.
    """
    segments = network.segments
    if segments.count == 0:
        return np.zeros(0)
    wire = _wires(network)
    factor = network.limit_set.group_factor(solution.loaded.max(axis=0))
    current = apply(current_alone, current_a=demands.lasting[0], group_factor=factor)
    plain: _Wires = plainly(wire)
    found = steady_temperature(plainly(current), plain.r20_ohm_per_m, plain.conductor_d_m, plain.outside_d_m,
                               plain.ambient_c, plain.conductivity_w_mk, EMISSIVITY)
    unknown = np.isnan(found) | np.isnan(plain.r20_ohm_per_m) | np.isnan(plain.outside_d_m)
    found = np.where(unknown, np.nan, np.minimum(found, HOTTEST_C))
    if not recording():
        return found
    conductor = given(found, "T", "°C", lambda _: "conductor temperature of the balance", HEAT_BALANCE)

    def words(index: int) -> str:
        return "temperature at which it loses what it makes, as above" if found[index] < HOTTEST_C else \
            "it would melt before it settled"

    return np.asanyarray(decided(found, "T", "°C", words, HEAT_BALANCE, *_closes(wire, current, conductor)))


def balance_ampacity_a(network: Network) -> Floats:
    """Current in A that brings each segment, alone, from its ambient to its insulation's limit (S,)."""
    segments = network.segments
    if segments.count == 0:
        return np.zeros(0)
    wire = _wires(network)
    rise = np.maximum(plainly(segments.max_c) - plainly(segments.ambient_c), 1e-3)
    plain: _Wires = plainly(wire)
    found = ampacity_by_heat_balance(rise, plain.r20_ohm_per_m, plain.conductor_d_m, plain.outside_d_m,
                                     plain.ambient_c, plain.conductivity_w_mk, EMISSIVITY)
    if not recording():
        return found
    current = given(found, "I", "A", "current of the balance", HEAT_BALANCE)
    return np.asanyarray(decided(found, "I", "A", "current at which it loses at its limit what it makes, as above",
                                 HEAT_BALANCE, *_closes(wire, current, segments.max_c)))


def _closes(wire: _Wires, current_a: Floats, conductor_c: Floats) -> tuple[Floats, Floats]:
    """Heat that each wire makes and heat that it loses [W/m] (S,), which are the same where the balance closes."""
    with np.errstate(all="ignore"):
        factor = apply(copper_temperature_factor, temperature_c=conductor_c)
        made = apply(wire_heat, current_a=current_a, r20_ohm_per_m=wire.r20_ohm_per_m, temperature_factor=factor)
        wall = apply(insulation_resistance, outside_d_m=wire.outside_d_m, conductor_d_m=wire.conductor_d_m,
                     conductivity_w_mk=wire.conductivity_w_mk)
        rise = apply(surface_rise, conductor_c=conductor_c, heat_w_m=made, wall_kmw=wall, ambient_c=wire.ambient_c)
        emissivity = given(EMISSIVITY, "ε", "-", "emissivity of the surface", "from memory; plastic or painted surface")
        return made, surface_loss(rise, wire.ambient_c, wire.outside_d_m, emissivity)


def table_ampacity_a(network: Network) -> Floats:
    """Printed ampacity of each segment, alone, at its worst ambient (S,) in A."""
    segments = network.segments
    if segments.count == 0:
        return np.zeros(0)
    return np.asanyarray(np.minimum.reduceat(segments.pair_table_a, segments.first_pair))
