"""Formulas the program does not use, which printed answers and other formulas are held against: thermal."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("T₂ = T₁ + (Tᵣ - T₁) · √(I₂ / Iₘ)", cite="AC 43.13-1B par. 11-66d (form from memory)")
def faa_conductor_temperature(ambient_c: Value, max_c: Value, current_a: Value, ampacity_a: Value) -> Value:
    """Conductor temperature as the aircraft circular estimates it; kept for its worked example alone.

    Args:
        ambient_c: T₁ [°C]. Ambient.
        max_c: Tᵣ [°C]. Conductor temperature rating.
        current_a: I₂ [A]. Current that flows.
        ampacity_a: Iₘ [A]. Permitted current.
    Returns:
        T₂ [°C]. Estimated conductor temperature, too high below the permitted current.

    AC 43.13-1B par. 11-66d calls its estimate quite conservative: the rise goes with the square of the current, not
    its root.

    >>> round(float(faa_conductor_temperature(50.0, 200.0, 20.0, 26.0)))
    182
    """
    return ambient_c + (max_c - ambient_c) * np.sqrt(current_a / ampacity_a)


@formula("L₂ = (β + T₀) · L₁ / (β + T₂)", cite="AC 43.13-1B par. 11-66d(4)")
def faa_hot_length(
    length_20c: Value, temperature_c: Value, zero_resistance_c: Value = 234.5, reference_c: Value = 20.0
) -> Value:
    """Longest run at conductor temperature, from the longest run read at 20 °C.

    Args:
        length_20c: L₁ [m]. Length permitted at 20 °C by the drop.
        temperature_c: T₂ [°C]. Conductor temperature.
        zero_resistance_c: β [°C]. 234.5 for copper, 238.1 for aluminium in that circular.
        reference_c: T₀ [°C]. Temperature of the first length.
    Returns:
        L₂ [m]. Length permitted hot, in the unit of the first.

    >>> round(faa_hot_length(15.5, 182.0), 1)
    9.5
    """
    return (zero_resistance_c + reference_c) * length_20c / (zero_resistance_c + temperature_c)


@formula("f = √((Tₘ - Tₐ) / (Tₘ - T₀))", cite="law behind DIN VDE 0298-4 table 17 and NFPA 70 310.15(B)")
def ambient_factor(max_c: Value, ambient_c: Value, reference_c: Value) -> Value:
    """Factor on a printed current for another ambient than the table's.

    Args:
        max_c: Tₘ [°C]. Highest lasting conductor temperature of the insulation.
        ambient_c: Tₐ [°C]. Ambient of the wire; must stay below the highest conductor temperature.
        reference_c: T₀ [°C]. Ambient of the printed current.
    Returns:
        f [-]. Factor, above 1 where it is cooler than the table supposes.

    Heat lost grows with the rise and heat made with the square of the current. Gives every entry of DIN VDE 0298-4
    table 17 and of NFPA 70 tables 310.15(B)(1) and (2)(b) to the printed 0.01.

    >>> round(float(ambient_factor(70.0, 50.0, 30.0)), 2)
    0.71
    """
    return np.sqrt((max_c - ambient_c) / (max_c - reference_c))
