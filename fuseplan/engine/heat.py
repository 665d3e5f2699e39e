"""Steady temperature of every segment by a heat balance, beside the printed ampacity; never used to allow more."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.demand import Demands
from fuseplan.engine.network import Network
from fuseplan.engine.ratios import ratio
from fuseplan.engine.solve import Solution
from fuseplan.engine.still_wire import EMISSIVITY, outside
from fuseplan.formulas.convection import ampacity_by_heat_balance, steady_temperature

Floats = NDArray[np.float64]

HOTTEST_C = 1083.0


def _geometry(network: Network) -> tuple[Floats, Floats, Floats]:
    segments = network.segments
    rows = [outside(area, diameter, insulation) if area == area else (np.nan, 0.17) for area, diameter, insulation in
            zip(segments.area_mm2.tolist(), segments.diameter_mm.tolist(), segments.insulation, strict=True)]
    pairs = np.array(rows, dtype=float).reshape(-1, 2)
    return segments.diameter_mm / 1000.0, pairs[:, 0], pairs[:, 1]


def per_metre(network: Network) -> Floats:
    """Resistance per metre at 20 °C of each segment; NaN where size or length is not known."""
    segments = network.segments
    return ratio(np.where(segments.r20_ohm > 0, segments.r20_ohm, np.nan), segments.length_m)


def steady_c(network: Network, solution: Solution, demands: Demands) -> Floats:
    """Conductor temperature in °C of each segment at its lasting demand (S,).

    Wires that share a run heat each other: the current is raised by the inverse of the limits's grouping factor
    for the conductors counted there. NaN where the wire is not known.
    """
    segments = network.segments
    if segments.count == 0:
        return np.zeros(0)
    inner, outer, conductivity = _geometry(network)
    factor = network.limit_set.group_factor(solution.loaded.max(axis=0))
    current = demands.lasting[0] / factor
    found = steady_temperature(current, per_metre(network), inner, outer, segments.ambient_c, conductivity,
                               EMISSIVITY)
    unknown = np.isnan(found) | np.isnan(per_metre(network)) | np.isnan(outer)
    return np.where(unknown, np.nan, np.minimum(found, HOTTEST_C))


def balance_ampacity_a(network: Network) -> Floats:
    """Current in A that brings each segment, alone, from its ambient to its insulation's limit (S,)."""
    segments = network.segments
    if segments.count == 0:
        return np.zeros(0)
    inner, outer, conductivity = _geometry(network)
    rise = np.maximum(segments.max_c - segments.ambient_c, 1e-3)
    return np.asarray(ampacity_by_heat_balance(rise, per_metre(network), inner, outer, segments.ambient_c,
                                               conductivity, EMISSIVITY))


def table_ampacity_a(network: Network) -> Floats:
    """Printed ampacity of each segment, alone, at its worst ambient (S,) in A."""
    segments = network.segments
    if segments.count == 0:
        return np.zeros(0)
    return np.minimum.reduceat(segments.pair_table_a, segments.first_pair)
