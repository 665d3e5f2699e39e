"""Formulas the program does not use, which printed answers and other formulas are held against: drop."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("p = 100 · ΔU / U", cite="definition")
def drop_percent(drop_v: Value, nominal_v: Value) -> Value:
    """Drop as a percentage.

    Args:
        drop_v: ΔU [V]. Voltage lost.
        nominal_v: U [V]. Nominal voltage.
    Returns:
        p [%]. Drop in hundredths of the nominal voltage: 3.0 is 3 %.

    >>> drop_percent(0.36, 12.0)
    3.0
    """
    return 100 * drop_v / nominal_v


@formula("S = κ · I · L / ΔU", cite="ABYC E-11 (as printed by a chandler)")
def abyc_area(current_a: Value, round_trip_ft: Value, drop_v: Value, k: Value = 10.75) -> Value:
    """Cross-section for a permitted drop, as small-craft practice writes it.

    Args:
        current_a: I [A]. Current.
        round_trip_ft: L [ft]. Length out AND back.
        drop_v: ΔU [V]. Permitted drop.
        k: κ [ohm·circular_mil/ft]. Resistivity, 10.75.
    Returns:
        S [circular_mil]. Cross-section needed.

    ABYC E-11. A wire of SAE size has less area than the AWG of the same number.

    >>> round(abyc_area(10.0, 21.0, 0.36))
    6271
    """
    return k * current_a * round_trip_ft / drop_v


@formula("S = I · ρ · L / ΔU", cite="handbook procedure, table 2 of a trade journal of July 2017")
def required_area(current: Value, resistivity: Value, length: Value, drop: Value) -> Value:
    """Cross-section for a permitted drop.

    Args:
        current: I [A]. Current.
        resistivity: ρ [ohm·mm²/m]. 0.018 in that procedure; hot copper has more.
        length: L [m]. Length of that lead.
        drop: ΔU [V]. Permitted drop of that lead.
    Returns:
        S [mm²]. Cross-section needed; the next size UP is fitted.

    A = I·ρ·L/ΔU, then the next size up, then the true drop.

    >>> round(required_area(8.3, 0.018, 1.8, 0.5), 2)
    0.54
    """
    return current * resistivity * length / drop
