"""Heat that a horizontal wire loses to still air."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula(
    "Ra = g · Δθ · D³ · ρ² · c / (T · μ · λ)",
    cite="definition of the Rayleigh number, expansion of an ideal gas 1/T",
)
def rayleigh(
    rise_k: Value,
    diameter_m: Value,
    film_k: Value,
    density: Value,
    viscosity: Value,
    conductivity: Value,
    heat_capacity: Value = 1006.0,
    gravity: Value = 9.80665,
) -> Value:
    """Rayleigh number of a horizontal cylinder in air.

    Args:
        rise_k: Δθ [K]. Surface over ambient.
        diameter_m: D [m]. Outside diameter.
        film_k: T [K]. Absolute temperature of the air, mean of surface and ambient.
        density: ρ [kg/m³]. Density.
        viscosity: μ [kg/(m·s)]. Dynamic viscosity.
        conductivity: λ [W/(m·K)]. Thermal conductivity.
        heat_capacity: c [J/(kg·K)]. 1006 for dry air.
        gravity: g [m/s²]. 9.80665.
    Returns:
        Ra [-]. Rayleigh number.

    Definition: g·β·Δθ·D³/(ν·a), a being the thermal diffusivity.

    >>> round(rayleigh(40.0, 0.003, 320.0, 1.103, 1.94e-5, 0.0278), 1)
    75.1
    """
    return gravity * rise_k * diameter_m**3 * density**2 * heat_capacity / (film_k * viscosity * conductivity)


@formula(
    "Nu = (0.60 + 0.387 · Ra^(1 / 6) / (1 + (0.559 / Pr)^(9 / 16))^(8 / 27))²",
    cite=(
        "Churchill and Chu 1975, as in Bergman et al., Introduction to Heat Transfer, 6th ed., example 9.2 "
        "(by the ht package)"
    ),
)
def nusselt_horizontal_cylinder(rayleigh: Value, prandtl: Value) -> Value:
    """Nusselt number of a horizontal cylinder in still air.

    Args:
        rayleigh: Ra [-]. Rayleigh number, 1e-5 to 1e12.
        prandtl: Pr [-]. Prandtl number.
    Returns:
        Nu [-]. Nusselt number.

    Churchill and Chu. From Ra 0.1 to 1e4, where wires lie, 8 to 20 % below Morgan's correlation, so on the safe side.

    >>> round(nusselt_horizontal_cylinder(2.63e9 * 0.69, 0.69), 3)
    139.135
    """
    return (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2


@formula("h = Nu · λ / D", cite="definition of the Nusselt number")
def convection_coefficient(nusselt: Value, conductivity: Value, diameter_m: Value) -> Value:
    """Heat transfer coefficient of the surface.

    Args:
        nusselt: Nu [-]. Nusselt number.
        conductivity: λ [W/(m·K)]. Thermal conductivity of the air.
        diameter_m: D [m]. Outside diameter.
    Returns:
        h [W/(m²·K)]. Heat transfer coefficient.

    >>> round(convection_coefficient(24.832, 0.0325, 0.1), 2)
    8.07
    """
    return nusselt * conductivity / diameter_m


@formula("q = h · π · D · Δθ", cite="Newton's law of cooling")
def convected_power(coefficient: Value, diameter_m: Value, rise_k: Value) -> Value:
    """Heat the air carries away.

    Args:
        coefficient: h [W/(m²·K)]. Heat transfer coefficient.
        diameter_m: D [m]. Outside diameter.
        rise_k: Δθ [K]. Surface over ambient.
    Returns:
        q [W/m]. Heat carried away per length.

    Newton's law of cooling on the surface of a cylinder.

    >>> round(convected_power(8.07, 0.1, 140.0), 1)
    354.9
    """
    return coefficient * np.pi * diameter_m * rise_k


@formula("q = ε · σ · π · D · ((Tₛ + Z)^4 - (Tₐ + Z)^4)", cite="Stefan-Boltzmann law; constant CODATA")
def radiated_power(
    surface_c: Value,
    ambient_c: Value,
    diameter_m: Value,
    emissivity: Value,
    stefan_boltzmann: Value = 5.670374e-8,
    ice_point_k: Value = 273.15,
) -> Value:
    """Heat a wire radiates.

    Args:
        surface_c: Tₛ [°C]. Surface temperature.
        ambient_c: Tₐ [°C]. Temperature of what the wire sees.
        diameter_m: D [m]. Outside diameter.
        emissivity: ε [-]. 0.9 to 0.95 for plastic (from memory).
        stefan_boltzmann: σ [W/(m²·K**4)]. 5.670374e-8.
        ice_point_k: Z [K]. 273.15.
    Returns:
        q [W/m]. Heat radiated per length, net.

    Stefan-Boltzmann, a small body in a large enclosure at ambient temperature.

    >>> round(radiated_power(165.0, 23.0, 0.1, 0.85), 0)
    442.0
    """
    return (
        emissivity
        * stefan_boltzmann
        * np.pi
        * diameter_m
        * ((surface_c + ice_point_k) ** 4 - (ambient_c + ice_point_k) ** 4)
    )


@formula("T = Tₐ + Δθ / 2 + Z", cite="usual choice for gas properties")
def film_temperature(ambient_c: Value, rise_k: Value, ice_point_k: Value = 273.15) -> Value:
    """Absolute temperature of the air beside a wire, half way between surface and ambient.

    Args:
        ambient_c: Tₐ [°C]. Ambient.
        rise_k: Δθ [K]. Surface over ambient.
        ice_point_k: Z [K]. 273.15.
    Returns:
        T [K]. Film temperature.

    Usual choice for the properties of the gas.

    >>> film_temperature(20.0, 40.0)
    313.15
    """
    return ambient_c + rise_k / 2 + ice_point_k


@formula("Tₛ = Tₐ + Δθ", cite="definition of the rise")
def surface_from_rise(ambient_c: Value, rise_k: Value) -> Value:
    """Surface temperature of a wire from its rise.

    Args:
        ambient_c: Tₐ [°C]. Ambient.
        rise_k: Δθ [K]. Surface over ambient.
    Returns:
        Tₛ [°C]. Surface temperature.

    >>> surface_from_rise(20.0, 30.0)
    50.0
    """
    return ambient_c + rise_k


@formula("Δθ = T - q · Rᵢ - Tₐ", cite="conduction through the insulation")
def surface_rise(conductor_c: Value, heat_w_m: Value, wall_kmw: Value, ambient_c: Value) -> Value:
    """How far the surface of a wire lies above its ambient, from its conductor.

    Args:
        conductor_c: T [°C]. Conductor.
        heat_w_m: q [W/m]. Heat that passes the insulation.
        wall_kmw: Rᵢ [K·m/W]. Thermal resistance of the insulation.
        ambient_c: Tₐ [°C]. Ambient.
    Returns:
        Δθ [K]. Surface over ambient.

    The insulation takes the heat times its thermal resistance off the conductor's temperature.

    >>> surface_rise(70.0, 10.0, 0.5, 30.0)
    35.0
    """
    return conductor_c - heat_w_m * wall_kmw - ambient_c
