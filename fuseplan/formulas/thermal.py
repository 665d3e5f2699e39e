"""Temperature of wires against their printed ratings."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("f = √((Tₘ - Tₐ) / (Tₘ - T₀))", cite="law behind DIN VDE 0298-4 table 17 and NFPA 70 310.15(B)")
def ambient_factor(max_c: Value, ambient_c: Value, reference_c: Value) -> Value:
    """Factor on a printed current for another ambient than the table's.

    Parameters
    ----------
    max_c : Tₘ [°C]
        Highest lasting conductor temperature of the insulation.
    ambient_c : Tₐ [°C]
        Ambient of the wire; must stay below the highest conductor temperature.
    reference_c : T₀ [°C]
        Ambient of the printed current.

    Returns
    -------
    f [-]
        Factor, above 1 where it is cooler than the table supposes.

    Notes
    -----
    Heat lost grows with the rise and heat made with the square of the current. Gives every entry of DIN VDE 0298-4
    table 17 and of NFPA 70 tables 310.15(B)(1) and (2)(b) to the printed 0.01.

    Examples
    --------
    >>> round(float(ambient_factor(70.0, 50.0, 30.0)), 2)
    0.71
    """
    return np.sqrt((max_c - ambient_c) / (max_c - reference_c))


@formula("f = √((Tₘ - Tₐ) / Δθ)", cite="as the ambient law, for currents published for a rise (BS AU 88a's manner)")
def rise_factor(max_c: Value, ambient_c: Value, rise_k: Value) -> Value:
    """Factor on a current that was published for a conductor temperature rise.

    Parameters
    ----------
    max_c : Tₘ [°C]
        Highest lasting conductor temperature of the insulation.
    ambient_c : Tₐ [°C]
        Ambient of the wire; must stay below the highest conductor temperature.
    rise_k : Δθ [K]
        Rise the published current stands for.

    Returns
    -------
    f [-]
        Factor on the published current.

    Notes
    -----
    BS AU 88a:1985 builds its ratings on a stated rise. For the common thin-wall currents a heat balance infers 40
    K; their reference is not printed.

    Examples
    --------
    >>> round(float(rise_factor(105.0, 80.0, 40.0)), 2)
    0.79
    """
    return np.sqrt((max_c - ambient_c) / rise_k)


@formula("T = Tₐ + (Tₘ - Tₐ) · (I / Iₘ)²", cite="heat in proportion to current squared, loss in proportion to rise")
def conductor_temperature(ambient_c: Value, max_c: Value, current_a: Value, ampacity_a: Value) -> Value:
    """Conductor temperature that a current brings about, from the current that would bring the limit.

    Parameters
    ----------
    ambient_c : Tₐ [°C]
        Ambient of the wire.
    max_c : Tₘ [°C]
        Conductor temperature at the permitted current.
    current_a : I [A]
        Current that flows.
    ampacity_a : Iₘ [A]
        Permitted current at this ambient.

    Returns
    -------
    T [°C]
        Conductor temperature.

    Notes
    -----
    The same law as `ambient_factor`, solved for the temperature.

    Examples
    --------
    >>> conductor_temperature(40.0, 80.0, 10.0, 20.0)
    50.0
    """
    return ambient_c + (max_c - ambient_c) * (current_a / ampacity_a) ** 2


@formula("T₂ = T₁ + (Tᵣ - T₁) · √(I₂ / Iₘ)", cite="AC 43.13-1B par. 11-66d (form from memory)")
def faa_conductor_temperature(ambient_c: Value, max_c: Value, current_a: Value, ampacity_a: Value) -> Value:
    """Conductor temperature as the aircraft circular estimates it; kept for its worked example alone.

    Parameters
    ----------
    ambient_c : T₁ [°C]
        Ambient.
    max_c : Tᵣ [°C]
        Conductor temperature rating.
    current_a : I₂ [A]
        Current that flows.
    ampacity_a : Iₘ [A]
        Permitted current.

    Returns
    -------
    T₂ [°C]
        Estimated conductor temperature, too high below the permitted current.

    Notes
    -----
    AC 43.13-1B par. 11-66d calls its estimate quite conservative: the rise goes with the square of the current, not
    its root.

    Examples
    --------
    >>> round(float(faa_conductor_temperature(50.0, 200.0, 20.0, 26.0)))
    182
    """
    return ambient_c + (max_c - ambient_c) * np.sqrt(current_a / ampacity_a)


@formula("L₂ = (β + T₀) · L₁ / (β + T₂)", cite="AC 43.13-1B par. 11-66d(4)")
def faa_hot_length(
    length_20c: Value, temperature_c: Value, zero_resistance_c: Value = 234.5, reference_c: Value = 20.0
) -> Value:
    """Longest run at conductor temperature, from the longest run read at 20 °C.

    Parameters
    ----------
    length_20c : L₁ [m]
        Length permitted at 20 °C by the drop.
    temperature_c : T₂ [°C]
        Conductor temperature.
    zero_resistance_c : β [°C]
        234.5 for copper, 238.1 for aluminium in that circular.
    reference_c : T₀ [°C]
        Temperature of the first length.

    Returns
    -------
    L₂ [m]
        Length permitted hot, in the unit of the first.

    Notes
    -----
    AC 43.13-1B par. 11-66d(4).

    Examples
    --------
    >>> round(faa_hot_length(15.5, 182.0), 1)
    9.5
    """
    return (zero_resistance_c + reference_c) * length_20c / (zero_resistance_c + temperature_c)


@formula("I = I₀ · f · g", cite="use of correction factors: DIN VDE 0298-4, NFPA 70 310.15")
def derated_ampacity(ampacity_a: Value, ambient_factor: Value, group_factor: Value) -> Value:
    """Permitted current of a wire where it lies.

    Parameters
    ----------
    ampacity_a : I₀ [A]
        Printed current of the table.
    ambient_factor : f [-]
        Factor for ambient.
    group_factor : g [-]
        Factor for wires lying together.

    Returns
    -------
    I [A]
        Permitted current.

    Notes
    -----
    Factors multiply, as in DIN VDE 0298-4 and NFPA 70 310.15.

    Examples
    --------
    >>> round(derated_ampacity(60.0, 0.85, 0.7), 1)
    35.7
    """
    return ampacity_a * ambient_factor * group_factor


@formula("J = I / S", cite="definition of current density")
def current_density(current_a: Value, area_mm2: Value) -> Value:
    """Current per cross-section.

    Parameters
    ----------
    current_a : I [A]
        Current.
    area_mm2 : S [mm²]
        Metal cross-section.

    Returns
    -------
    J [A/mm²]
        Current density.

    Notes
    -----
    Definition; the old handbook rule (10 A/mm² up to 4 mm², 6 up to 16 mm²) is no ampacity curve: 6 mm² would carry
    less than 4 mm².

    Examples
    --------
    >>> current_density(10.0, 2.5)
    4.0
    """
    return current_a / area_mm2


@formula("Iₕ = I / g", cite="definition of the grouping factor")
def current_alone(current_a: Value, group_factor: Value) -> Value:
    """Current that would heat a wire alone as much as its own heats it among others.

    Parameters
    ----------
    current_a : I [A]
        Its current.
    group_factor : g [-]
        Factor for wires lying together.

    Returns
    -------
    Iₕ [A]
        Current that heats it.

    Notes
    -----
    The factor on the permitted current, taken to the current instead.

    Examples
    --------
    >>> current_alone(14.0, 0.7)
    20.0
    """
    return current_a / group_factor
