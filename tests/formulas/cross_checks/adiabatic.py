"""Formulas the program does not use, which printed answers and other formulas are held against: adiabatic."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("I = k · S / √(t)", cite="IEC 60364-4-43 (S = I·√t / k, from memory)")
def adiabatic_current(k: Value, area_mm2: Value, time_s: Value) -> Value:
    """Largest current for a given time.

    Args:
        k: k [A·s**0.5/mm²]. From `adiabatic_k`.
        area_mm2: S [mm²]. Metal cross-section.
        time_s: t [s]. Duration, up to 5 s.
    Returns:
        I [A]. Current that brings the conductor to its short-circuit limit.

    IEC 60364-4-43, clause on short circuits up to 5 s.

    >>> round(float(adiabatic_current(115.0, 120.0, 1.0)))
    13800
    """
    return k * area_mm2 / np.sqrt(time_s)


@formula("T = (T₁ + β) · exp(I² · t / (K² · S²)) - β", cite="IEC 60949 (from memory), solved for the temperature")
def adiabatic_temperature(
    initial_c: Value, current_a: Value, time_s: Value, area_mm2: Value, K: Value = 226.0, beta: Value = 234.5
) -> Value:
    """Temperature a fault leaves behind.

    Args:
        initial_c: T₁ [°C]. Conductor temperature when the fault begins.
        current_a: I [A]. Fault current.
        time_s: t [s]. Duration.
        area_mm2: S [mm²]. Metal cross-section.
        K: K [A·s**0.5/mm²]. 226 for copper.
        beta: β [°C]. 234.5 for copper.
    Returns:
        T [°C]. Conductor temperature at the end, no heat having left it.

    Same equation as `adiabatic_k`. Past the melting point of copper (1083 °C) the figure only says that the wire is
    gone.

    >>> round(float(adiabatic_temperature(70.0, 115.0, 1.0, 1.0)))
    160
    """
    return (initial_c + beta) * np.exp(current_a**2 * time_s / (K**2 * area_mm2**2)) - beta


@formula(
    "I = A · √(c · log10((T₂ + β) / (T₁ + β)) / t)",
    cite="ICEA P-32-382-2007 (second-hand: a cable specification of 2010)",
)
def icea_current(
    area_cmil: Value, time_s: Value, final_c: Value, initial_c: Value, coefficient: Value = 0.0297, beta: Value = 234.0
) -> Value:
    """The adiabatic limit as American cable practice writes it.

    Args:
        area_cmil: A [circular_mil]. Cross-section in circular mils.
        time_s: t [s]. Duration.
        final_c: T₂ [°C]. Highest short-circuit temperature.
        initial_c: T₁ [°C]. Temperature when the fault begins.
        coefficient: c [A²·s/circular_mil²]. 0.0297 copper, 0.0125 aluminium.
        beta: β [°C]. 234 copper, 228 aluminium.
    Returns:
        I [A]. Largest current.

    ICEA P-32-382: (I/A)²·t = 0.0297·log10((T2+234)/(T1+234)). The same physics as `adiabatic_k` in other units.

    >>> round(float(icea_current(1.0, 1.0, 250.0, 90.0)), 5)
    0.07195
    """
    return area_cmil * np.sqrt(coefficient * np.log10((final_c + beta) / (initial_c + beta)) / time_s)


@formula("I = A · √(log10((Tₘ - Tₐ) / (β + Tₐ) + 1) / (c · t))", cite="Onderdonk, standard form (from memory)")
def onderdonk_current(
    area_cmil: Value,
    time_s: Value,
    ambient_c: Value,
    melting_c: Value = 1083.0,
    constant: Value = 33.0,
    zero_resistance_c: Value = 234.0,
) -> Value:
    """Current that melts a bare copper wire in a short time.

    Args:
        area_cmil: A [circular_mil]. Cross-section in circular mils.
        time_s: t [s]. Time to melt.
        ambient_c: Tₐ [°C]. Temperature at the start.
        melting_c: Tₘ [°C]. Melting point, 1083 for copper.
        constant: c [circular_mil²/(A²·s)]. 33 for copper.
        zero_resistance_c: β [°C]. 234 for copper.
    Returns:
        I [A]. Current that melts the wire in that time: destruction, never a permitted current.

    The denominator is 234 PLUS the ambient; a worked example in circulation has it minus and comes out 5 % high.

    >>> round(float(onderdonk_current(2581.0, 5.0, 25.0)), 1)
    168.9
    """
    return area_cmil * np.sqrt(
        np.log10((melting_c - ambient_c) / (zero_resistance_c + ambient_c) + 1) / (constant * time_s)
    )


@formula(
    "I = a · d^1.5",
    cite="Preece 1884 (year from memory; coefficient as printed by an engineering firm: copper 10244)",
)
def preece_current(diameter: Value, coefficient: Value = 10244.0) -> Value:
    """Current that slowly melts a bare wire in open air.

    Args:
        diameter: d [inch]. Diameter of the bare wire.
        coefficient: a [A/inch**1.5]. 10244 copper, 7585 aluminium.
    Returns:
        I [A]. Lasting current that melts the wire in open air.

    In millimetres the copper coefficient is 80. Destruction, never a permitted current.

    >>> round(preece_current(0.0524))
    123
    """
    return coefficient * diameter**1.5
