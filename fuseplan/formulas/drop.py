"""Voltage lost along wires."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("ΔU = I · R", cite="Ohm's law")
def voltage_drop(current_a: Value, resistance_ohm: Value) -> Value:
    """Voltage lost in a resistance.

    Parameters
    ----------
    current_a : I [A]
        Current.
    resistance_ohm : R [ohm]
        Resistance it passes.

    Returns
    -------
    ΔU [V]
        Voltage lost.

    Notes
    -----
    Ohm's law; AC 43.13-1B table 11-7 works four examples.

    Examples
    --------
    >>> voltage_drop(20.0, 0.05)
    1.0
    """
    return current_a * resistance_ohm


@formula("p = 100 · ΔU / U", cite="definition")
def drop_percent(drop_v: Value, nominal_v: Value) -> Value:
    """Drop as a percentage.

    Parameters
    ----------
    drop_v : ΔU [V]
        Voltage lost.
    nominal_v : U [V]
        Nominal voltage.

    Returns
    -------
    p [%]
        Drop in hundredths of the nominal voltage: 3.0 is 3 %.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> drop_percent(0.36, 12.0)
    3.0
    """
    return 100 * drop_v / nominal_v


@formula("ΔU = U · p / 100", cite="definition")
def drop_allowed(nominal_v: Value, percent: Value) -> Value:
    """Permitted drop in volts.

    Parameters
    ----------
    nominal_v : U [V]
        Nominal voltage.
    percent : p [%]
        Permitted drop in hundredths: 3.0 is 3 %.

    Returns
    -------
    ΔU [V]
        Permitted drop.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> drop_allowed(12.0, 3.0)
    0.36
    """
    return nominal_v * percent / 100


@formula("U = U₁ - ΔU", cite="Kirchhoff's voltage law")
def voltage_at_load(supply_v: Value, drop_v: Value) -> Value:
    """What is left for the load.

    Parameters
    ----------
    supply_v : U₁ [V]
        Voltage at the feed.
    drop_v : ΔU [V]
        Lost in supply and return.

    Returns
    -------
    U [V]
        Voltage across the load.

    Notes
    -----
    Kirchhoff's voltage law.

    Examples
    --------
    >>> voltage_at_load(13.5, 0.5)
    13.0
    """
    return supply_v - drop_v


@formula("U₁ = U + ΔU", cite="Kirchhoff's voltage law")
def voltage_before(load_v: Value, drop_v: Value) -> Value:
    """Voltage at the near end of a wire, from that at its far end.

    Parameters
    ----------
    load_v : U [V]
        Voltage at the far end.
    drop_v : ΔU [V]
        Voltage lost on the way there; negative where current flows back.

    Returns
    -------
    U₁ [V]
        Voltage at the near end.

    Notes
    -----
    Kirchhoff's voltage law.

    Examples
    --------
    >>> voltage_before(14.0, -0.5)
    13.5
    """
    return load_v + drop_v


@formula("S = κ · I · L / ΔU", cite="ABYC E-11 (as printed by a chandler)")
def abyc_area(current_a: Value, round_trip_ft: Value, drop_v: Value, k: Value = 10.75) -> Value:
    """Cross-section for a permitted drop, as small-craft practice writes it.

    Parameters
    ----------
    current_a : I [A]
        Current.
    round_trip_ft : L [ft]
        Length out AND back.
    drop_v : ΔU [V]
        Permitted drop.
    k : κ [ohm·circular_mil/ft]
        Resistivity, 10.75.

    Returns
    -------
    S [circular_mil]
        Cross-section needed.

    Notes
    -----
    ABYC E-11. A wire of SAE size has less area than the AWG of the same number.

    Examples
    --------
    >>> round(abyc_area(10.0, 21.0, 0.36))
    6271
    """
    return k * current_a * round_trip_ft / drop_v


@formula("S = I · ρ · L / ΔU", cite="handbook procedure, table 2 of a trade journal of July 2017")
def required_area(current: Value, resistivity: Value, length: Value, drop: Value) -> Value:
    """Cross-section for a permitted drop.

    Parameters
    ----------
    current : I [A]
        Current.
    resistivity : ρ [ohm·mm²/m]
        0.018 in that procedure; hot copper has more.
    length : L [m]
        Length of that lead.
    drop : ΔU [V]
        Permitted drop of that lead.

    Returns
    -------
    S [mm²]
        Cross-section needed; the next size UP is fitted.

    Notes
    -----
    A = I·ρ·L/ΔU, then the next size up, then the true drop.

    Examples
    --------
    >>> round(required_area(8.3, 0.018, 1.8, 0.5), 2)
    0.54
    """
    return current * resistivity * length / drop
