"""Resistance of conductors and their sizes."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("k = (β + T) / (β + T₀)", cite="AC 43.13-1B par. 11-66d(4): 234.5 °C for copper; IEC 60028")
def copper_temperature_factor(
    temperature_c: Value, zero_resistance_c: Value = 234.5, reference_c: Value = 20.0
) -> Value:
    """Resistance of copper at a temperature over its resistance at the reference.

    Args:
        temperature_c: T [°C]. Conductor temperature.
        zero_resistance_c: β [°C]. How far below the ice point the line of resistance would meet zero; 234.5 for copper.
        reference_c: T₀ [°C]. Temperature of the tabulated resistance.
    Returns:
        k [-]. Factor on the tabulated resistance.

    AC 43.13-1B par. 11-66d(4) prints 234.5; 1/254.5 = 0.00393 per kelvin is the coefficient of IEC 60028, the same
    fact. Published 20 °C correction tables of IEC 60228 use 0.004 instead: see `linear_temperature_factor`.

    >>> round(copper_temperature_factor(80.0), 4)
    1.2358
    """
    return (zero_resistance_c + temperature_c) / (zero_resistance_c + reference_c)


@formula("R = r₂₀ · L · k", cite="definition of resistance per length")
def wire_resistance(r20_ohm_per_m: Value, length_m: Value, temperature_factor: Value) -> Value:
    """Resistance of a length of wire at its working temperature.

    Args:
        r20_ohm_per_m: r₂₀ [ohm/m]. Tabulated resistance per length at 20 °C.
        length_m: L [m]. Length of this lead, one way.
        temperature_factor: k [-]. From `copper_temperature_factor`.
    Returns:
        R [ohm]. Resistance.

    Definition; handbook lengths are one lead, those of AC 43.13-1B and the small-craft rules are out and back.

    >>> round(wire_resistance(0.0076, 5.0, 1.2), 4)
    0.0456
    """
    return r20_ohm_per_m * length_m * temperature_factor


@formula("L = L₀ · (1 + a)", cite="common practice, no source")
def length_with_allowance(runs_m: Value, allowance: Value) -> Value:
    """Length of a wire that lies along runs of a loom.

    Args:
        runs_m: L₀ [m]. Length of the runs together.
        allowance: a [-]. Share added for ends, loop and bends.
    Returns:
        L [m]. Length of the wire.

    >>> round(length_with_allowance(2.0, 0.1), 2)
    2.2
    """
    return runs_m * (1 + allowance)


@formula("R = ΔU / I", cite="Ohm's law")
def resistance_from_drop(drop_v: Value, current_a: Value) -> Value:
    """Resistance of a joint, a shunt, a load or a motor that stands still, from the drop across it.

    Args:
        drop_v: ΔU [V]. Drop across it.
        current_a: I [A]. Current through it.
    Returns:
        R [ohm]. Resistance: it judges a joint at any current, millivolts do so only at the one they were written for.

    Ohm's law; AC 43.13-1B p. 11-74 names the millivolt-drop test. Two workshop manuals' limits for the alternator
    cable, 0.3 V at 30 A and 0.2 V at 20 A, are both 10 mΩ.

    >>> resistance_from_drop(0.2, 20.0)
    0.01
    """
    return drop_v / current_a
