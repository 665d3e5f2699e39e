"""Short circuits: heat that stays in the metal, and the current that melts it."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula(
    "k = K · √(ln((T₂ + β) / (T₁ + β)))",
    cite="IEC 60949 (from memory; its k values are printed in IEC 60364-4-43 table 43A)",
)
def adiabatic_k(K: Value, final_c: Value, initial_c: Value, beta: Value) -> Value:
    """How much current for how long a conductor bears, per cross-section.

    Args:
        K: K [A·s**0.5/mm²]. Material constant: 226 copper, 148 aluminium.
        final_c: T₂ [°C]. Highest short-circuit temperature of the insulation.
        initial_c: T₁ [°C]. Conductor temperature when the fault begins.
        beta: β [°C]. 234.5 copper, 228 aluminium.
    Returns:
        k [A·s**0.5/mm²]. Current density that one second of short circuit allows.

    The printed 115 for PVC starts from 70 °C; from 105 °C under a bonnet it is 87.6, so the actual starting temperature
    has to be used. Holds to 5 s.

    >>> round(float(adiabatic_k(226.0, 160.0, 70.0, 234.5)), 1)
    115.0
    """
    return K * np.sqrt(np.log((final_c + beta) / (initial_c + beta)))


@formula("t = (k · S / I)²", cite="IEC 60364-4-43 (from memory)")
def adiabatic_time(k: Value, area_mm2: Value, current_a: Value) -> Value:
    """Longest time for a given current.

    Args:
        k: k [A·s**0.5/mm²]. From `adiabatic_k`.
        area_mm2: S [mm²]. Metal cross-section.
        current_a: I [A]. Fault current.
    Returns:
        t [s]. Time to the short-circuit limit; past 5 s the estimate is on the safe side, for heat then leaves the
            wire.

    IEC 60364-4-43, clause on short circuits up to 5 s.

    >>> round(adiabatic_time(115.0, 2.5, 287.5), 3)
    1.0
    """
    return (k * area_mm2 / current_a) ** 2


@formula("T = (T₁ + β) · exp(E / (K² · S²)) - β", cite="IEC 60949 (from memory), solved for the temperature")
def temperature_after_heat(
    initial_c: Value, heat_a2s: Value, area_mm2: Value, K: Value = 226.0, beta: Value = 234.5
) -> Value:
    """Temperature a heat I²t leaves behind.

    Args:
        initial_c: T₁ [°C]. Conductor temperature when the fault begins.
        heat_a2s: E [A²·s]. Square of the current times its duration.
        area_mm2: S [mm²]. Metal cross-section.
        K: K [A·s**0.5/mm²]. 226 for copper.
        beta: β [°C]. 234.5 for copper.
    Returns:
        T [°C]. Conductor temperature at the end, no heat having left it.

    IEC 60949 with the heat in place of current and time.

    >>> round(float(temperature_after_heat(70.0, 13225.0, 1.0)))
    160
    """
    return (initial_c + beta) * np.exp(heat_a2s / (K**2 * area_mm2**2)) - beta
