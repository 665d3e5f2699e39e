"""Properties of air at a temperature."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula(
    "μ = c · T^1.5 / (T + S)",
    cite="US Standard Atmosphere 1976 (as printed in the fluids package, atmosphere module)",
)
def air_viscosity(film_k: Value, coefficient: Value = 1.458e-6, sutherland_k: Value = 110.4) -> Value:
    """Viscosity of air.

    Args:
        film_k: T [K]. Absolute temperature of the air, mean of surface and ambient.
        coefficient: c [kg/(m·s·K**0.5)]. 1.458e-6.
        sutherland_k: S [K]. 110.4.
    Returns:
        μ [kg/(m·s)]. Dynamic viscosity.

    US Standard Atmosphere 1976, Sutherland's law.

    >>> round(air_viscosity(300.0) * 1e6, 2)
    18.46
    """
    return coefficient * film_k**1.5 / (film_k + sutherland_k)


@formula(
    "λ = c · T^1.5 / (T + a · 10^(-b / T))",
    cite="US Standard Atmosphere 1976 (as printed in the fluids package, atmosphere module)",
)
def air_conductivity(
    film_k: Value, coefficient: Value = 2.64638e-3, offset_k: Value = 245.4, decade_k: Value = 12.0
) -> Value:
    """Thermal conductivity of air.

    Args:
        film_k: T [K]. Absolute temperature of the air, mean of surface and ambient.
        coefficient: c [W/(m·K**1.5)]. 2.64638e-3.
        offset_k: a [K]. 245.4.
        decade_k: b [K]. 12.
    Returns:
        λ [W/(m·K)]. Thermal conductivity.

    >>> round(air_conductivity(300.0), 5)
    0.02625
    """
    return coefficient * film_k**1.5 / (film_k + offset_k * 10 ** (-decade_k / film_k))


@formula("ρ = p / (R · T)", cite="ideal gas law; gas constant of air 287.05 J/(kg·K), US Standard Atmosphere 1976")
def air_density(film_k: Value, pressure_pa: Value = 101325.0, gas_constant: Value = 287.05) -> Value:
    """Density of air.

    Args:
        film_k: T [K]. Absolute temperature of the air.
        pressure_pa: p [Pa]. 101325 at sea level.
        gas_constant: R [J/(kg·K)]. 287.05 for dry air.
    Returns:
        ρ [kg/m³]. Density.

    Ideal gas law. Thin air cools worse: at 2000 m the pressure is 79.5 kPa.

    >>> round(air_density(300.0), 3)
    1.177
    """
    return pressure_pa / (gas_constant * film_k)


@formula("Pr = c · μ / λ", cite="definition of the Prandtl number")
def prandtl(viscosity: Value, conductivity: Value, heat_capacity: Value = 1006.0) -> Value:
    """Prandtl number.

    Args:
        viscosity: μ [kg/(m·s)]. Dynamic viscosity.
        conductivity: λ [W/(m·K)]. Thermal conductivity.
        heat_capacity: c [J/(kg·K)]. 1006 for dry air at room temperature.
    Returns:
        Pr [-]. Prandtl number.

    >>> round(prandtl(1.846e-5, 0.02638), 2)
    0.7
    """
    return heat_capacity * viscosity / conductivity
