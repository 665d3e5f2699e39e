"""Heat balance of one horizontal wire in still air, solved for its temperature or for its current.

Shown beside a table's answer, never used to allow more than the table does: published currents lie within about 15
% of it. These are algorithms, not formulas; they take floats or arrays, all arguments broadcast together.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from fuseplan.formulas.air import air_conductivity, air_density, air_viscosity, prandtl
from fuseplan.formulas.insulation import insulation_resistance, wire_heat
from fuseplan.formulas.registry import Value
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.formulas.still_air import (
    convected_power,
    convection_coefficient,
    film_temperature,
    nusselt_horizontal_cylinder,
    radiated_power,
    rayleigh,
    surface_from_rise,
)
from fuseplan.trace import apply, together

ZERO_RESISTANCE_C = 234.5
COPPER_MELTS_C = 1083.0

_STEPS = 8
_FIRST_CONDUCTANCE_W_M2K = 20.0  # a thin wire's usual surface coefficient, radiation included; only the first guess


def surface_loss(rise_k: Value, ambient_c: Value, outside_d_m: Value, emissivity: Value) -> Value:
    """Heat lost per length of wire by natural convection and radiation.

    Args:
        rise_k: surface over ambient [K], above zero
        ambient_c: ambient [°C]
        outside_d_m: outside diameter [m]
        emissivity: of the surface [-]
    Returns:
        Heat [W/m], shape of the arguments broadcast together.
    """
    film_k = apply(film_temperature, ambient_c=ambient_c, rise_k=rise_k)
    viscosity = apply(air_viscosity, film_k=film_k)
    conductivity = apply(air_conductivity, film_k=film_k)
    density = apply(air_density, film_k=film_k)
    buoyancy = apply(rayleigh, rise_k=rise_k, diameter_m=outside_d_m, film_k=film_k, density=density,
                     viscosity=viscosity, conductivity=conductivity)
    number = apply(prandtl, viscosity=viscosity, conductivity=conductivity)
    nusselt = apply(nusselt_horizontal_cylinder, rayleigh=buoyancy, prandtl=number)
    coefficient = apply(convection_coefficient, nusselt=nusselt, conductivity=conductivity, diameter_m=outside_d_m)
    convected = apply(convected_power, coefficient=coefficient, diameter_m=outside_d_m, rise_k=rise_k)
    surface_c = apply(surface_from_rise, ambient_c=ambient_c, rise_k=rise_k)
    radiated = apply(radiated_power, surface_c=surface_c, ambient_c=ambient_c, diameter_m=outside_d_m,
                     emissivity=emissivity)
    return together("lost by convection and radiation", [("convection", convected), ("radiation", radiated)],
                    "definition")


def steady_temperature(
    current_a: Value,
    r20_ohm_per_m: Value,
    conductor_d_m: Value,
    outside_d_m: Value,
    ambient_c: Value,
    conductivity_w_mk: Value = 0.17,
    emissivity: Value = 0.9,
) -> npt.NDArray[np.float64]:
    """Conductor temperature at which a lone horizontal copper wire in still air loses what it makes.

    Args:
        current_a: current [A]
        r20_ohm_per_m: resistance per length at 20 °C [ohm/m]
        conductor_d_m: conductor diameter [m]
        outside_d_m: outside diameter [m], not below the conductor's
        ambient_c: ambient [°C]
        conductivity_w_mk: of the insulation [W/(m·K)], PVC 0.17
        emissivity: of the surface [-], plastic 0.9
    Returns:
        Conductor temperature [°C], shape of the arguments broadcast together; infinite where the wire would melt before
        it settled, NaN where current or resistance is not known.

    A fixed number of Newton steps on the surface rise, the slope of the loss taken from the two last steps; within
    0.1 K of a bracketing solver up to 500 °C. The heat made is written in the surface rise first: with q = c·(β +
    T) and T = Tₛ + q·R it is q = c/(1 - c·R)·(β + Tₛ), so the insulation needs no iteration of its own.
    """
    per_degree = wire_heat(current_a, r20_ohm_per_m, 1.0) / (ZERO_RESISTANCE_C + 20.0)
    wall = insulation_resistance(outside_d_m, conductor_d_m, conductivity_w_mk)
    kept = 1 - per_degree * wall
    gain = per_degree / np.where(kept > 0, kept, np.nan)
    # Overflow and 0/0 on the way to a melting point are meant: such a wire's answer is infinite.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        base = gain * (ZERO_RESISTANCE_C + ambient_c)
        rise = base / (_FIRST_CONDUCTANCE_W_M2K * np.pi * outside_d_m) + 1e-9
        loss = surface_loss(rise, ambient_c, outside_d_m, emissivity)
        slope = 1.2 * loss / rise
        for _ in range(_STEPS):
            step = (loss - base - gain * rise) / np.maximum(slope - gain, 0.2 * slope)
            new_rise = np.maximum(rise - step, 0.1 * rise)
            new_loss = surface_loss(new_rise, ambient_c, outside_d_m, emissivity)
            moved = new_rise - rise
            slope = np.where(np.abs(moved) > 1e-6 * rise, (new_loss - loss) / moved, slope)
            rise, loss = new_rise, new_loss
        conductor_c = ambient_c + rise + loss * wall
        melted = np.where(np.isnan(per_degree), np.nan, np.inf)
        return np.where(conductor_c < COPPER_MELTS_C, conductor_c, melted)


def ampacity_by_heat_balance(
    rise_k: Value,
    r20_ohm_per_m: Value,
    conductor_d_m: Value,
    outside_d_m: Value,
    ambient_c: Value,
    conductivity_w_mk: Value = 0.17,
    emissivity: Value = 0.9,
) -> npt.NDArray[np.float64]:
    """Current that warms a lone horizontal copper wire in still air by a given rise.

    Args:
        rise_k: conductor over ambient [K], above zero
        r20_ohm_per_m: resistance per length at 20 °C [ohm/m]
        conductor_d_m: conductor diameter [m]
        outside_d_m: outside diameter [m], not below the conductor's
        ambient_c: ambient [°C]
        conductivity_w_mk: of the insulation [W/(m·K)], PVC 0.17
        emissivity: of the surface [-], plastic 0.9
    Returns:
        Current [A], shape of the arguments broadcast together.

    The wall's drop R·q is taken off the rise until surface and wall agree; each step brings the error down about
    tenfold.
    """
    wall = insulation_resistance(outside_d_m, conductor_d_m, conductivity_w_mk)
    surface_rise = 0.9 * np.asarray(rise_k, dtype=np.float64)
    for _ in range(_STEPS):
        loss = surface_loss(surface_rise, ambient_c, outside_d_m, emissivity)
        surface_rise = rise_k / (1 + wall * loss / surface_rise)
    loss = surface_loss(surface_rise, ambient_c, outside_d_m, emissivity)
    factor = copper_temperature_factor(ambient_c + rise_k)
    return np.asarray(np.sqrt(loss / wire_heat(1.0, r20_ohm_per_m, factor)))
