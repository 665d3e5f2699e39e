"""Heat made in a conductor and its way out through the insulation."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("q = I² · r₂₀ · k", cite="Joule's law")
def wire_heat(current_a: Value, r20_ohm_per_m: Value, temperature_factor: Value) -> Value:
    """Heat a wire makes.

    Args:
        current_a: I [A]. Current.
        r20_ohm_per_m: r₂₀ [ohm/m]. Tabulated resistance per length at 20 °C.
        temperature_factor: k [-]. From `copper_temperature_factor`.
    Returns:
        q [W/m]. Heat made per length.

    Joule's law. EN 61439-1 annex H prints 5.4 W/m for 10 mm² at 50 A and 70 °C.

    >>> round(wire_heat(50.0, 0.00183, 1.2), 2)
    5.49
    """
    return current_a**2 * r20_ohm_per_m * temperature_factor


@formula("Rᵢ = ln(D / d) / (2 · π · λ)", cite="IEC 60287-2-1 (from memory): conduction through a cylinder wall")
def insulation_resistance(outside_d_m: Value, conductor_d_m: Value, conductivity_w_mk: Value) -> Value:
    """Thermal resistance of the insulation.

    Args:
        outside_d_m: D [m]. Outside diameter.
        conductor_d_m: d [m]. Conductor diameter.
        conductivity_w_mk: λ [W/(m·K)]. Conductivity of the insulation: 0.17 PVC, 0.29 cross-linked polyethylene (from
            memory).
    Returns:
        Rᵢ [K·m/W]. Thermal resistance per length.

    IEC 60287-2-1; conduction through a cylinder wall.

    >>> round(float(insulation_resistance(0.003, 0.002, 0.17)), 3)
    0.38
    """
    return np.log(outside_d_m / conductor_d_m) / (2 * np.pi * conductivity_w_mk)
