"""Temperature of wires against their printed ratings."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("f = √((Tₘ - Tₐ) / Δθ)", cite="as the ambient law, for currents published for a rise (BS AU 88a's manner)")
def rise_factor(max_c: Value, ambient_c: Value, rise_k: Value) -> Value:
    """Factor on a current that was published for a conductor temperature rise.

    Args:
        max_c: Tₘ [°C]. Highest lasting conductor temperature of the insulation.
        ambient_c: Tₐ [°C]. Ambient of the wire; must stay below the highest conductor temperature.
        rise_k: Δθ [K]. Rise the published current stands for.
    Returns:
        f [-]. Factor on the published current.

    BS AU 88a:1985 builds its ratings on a stated rise. For the common thin-wall currents a heat balance infers 40
    K; their reference is not printed.

    >>> round(float(rise_factor(105.0, 80.0, 40.0)), 2)
    0.79
    """
    return np.sqrt((max_c - ambient_c) / rise_k)


@formula("T = Tₐ + (Tₘ - Tₐ) · (I / Iₘ)²", cite="heat in proportion to current squared, loss in proportion to rise")
def conductor_temperature(ambient_c: Value, max_c: Value, current_a: Value, ampacity_a: Value) -> Value:
    """Conductor temperature that a current brings about, from the current that would bring the limit.

    Args:
        ambient_c: Tₐ [°C]. Ambient of the wire.
        max_c: Tₘ [°C]. Conductor temperature at the permitted current.
        current_a: I [A]. Current that flows.
        ampacity_a: Iₘ [A]. Permitted current at this ambient.
    Returns:
        T [°C]. Conductor temperature.

    The same law as `ambient_factor`, solved for the temperature.

    >>> conductor_temperature(40.0, 80.0, 10.0, 20.0)
    50.0
    """
    return ambient_c + (max_c - ambient_c) * (current_a / ampacity_a) ** 2


@formula("I = I₀ · f · g", cite="use of correction factors: DIN VDE 0298-4, NFPA 70 310.15")
def derated_ampacity(ampacity_a: Value, ambient_factor: Value, group_factor: Value) -> Value:
    """Permitted current of a wire where it lies.

    Args:
        ampacity_a: I₀ [A]. Printed current of the table.
        ambient_factor: f [-]. Factor for ambient.
        group_factor: g [-]. Factor for wires lying together.
    Returns:
        I [A]. Permitted current.

    Factors multiply, as in DIN VDE 0298-4 and NFPA 70 310.15.

    >>> round(derated_ampacity(60.0, 0.85, 0.7), 1)
    35.7
    """
    return ampacity_a * ambient_factor * group_factor


@formula("Iₕ = I / g", cite="definition of the grouping factor")
def current_alone(current_a: Value, group_factor: Value) -> Value:
    """Current that would heat a wire alone as much as its own heats it among others.

    Args:
        current_a: I [A]. Its current.
        group_factor: g [-]. Factor for wires lying together.
    Returns:
        Iₕ [A]. Current that heats it.

    The factor on the permitted current, taken to the current instead.

    >>> current_alone(14.0, 0.7)
    20.0
    """
    return current_a / group_factor
