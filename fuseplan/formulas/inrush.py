"""What a load draws at the moment it is switched on."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("Iₚ = m · I", cite="definition of the inrush multiple")
def inrush_current(current_a: Value, multiple: Value) -> Value:
    """Current at the moment of switching on.

    Args:
        current_a: I [A]. Running current.
        multiple: m [-]. How many times the running current.
    Returns:
        Iₚ [A]. Peak current.

    Definition. A switch maker's load table prints 10 for lamps and 6 for motors; a cold lamp on a stiff supply
    reaches 12.

    >>> inrush_current(4.6, 10)
    46.0
    """
    return multiple * current_a


@formula("Iₚ = m · I / (1 + m · I · R / U)",
         cite="Ohm's law: the load as it is when switched on, in series with its way")
def limited_inrush(current_a: Value, multiple: Value, way_ohm: Value, voltage_v: Value) -> Value:
    """Switch-on current through the resistance of battery and wires.

    Args:
        current_a: I [A]. Running current.
        multiple: m [-]. How many times the running current a stiff supply would drive.
        way_ohm: R [ohm]. Resistance of the battery and of the way out and back.
        voltage_v: U [V]. Voltage of the supply.
    Returns:
        Iₚ [A]. Peak current.

    Never more than U / R.

    >>> limited_inrush(5.0, 10.0, 0.25, 12.5)
    25.0
    """
    return multiple * current_a / (1 + multiple * current_a * way_ohm / voltage_v)


@formula("τ = t / ln(m - 1)", cite="derived: a surge above the running current that falls as e^(-t/τ) to once it in t")
def surge_decay(fall_s: Value, multiple: Value) -> Value:
    """Time constant of the surge of a lamp or motor.

    Args:
        fall_s: t [s]. Time in which the current falls to twice the running one.
        multiple: m [-]. Switch-on current over running current, above 2.
    Returns:
        τ [s]. Time constant.

    A driver-IC application paper has lamps at 10 to 12 times, and at about twice after 3 to 5 ms. Of a brushed motor
    that runs up against a steady load it is exact: torque goes with the current, its loss with the speed.

    >>> float(round(surge_decay(0.005, 10.0), 5))
    0.00228
    """
    return fall_s / np.log(multiple - 1)


@formula("tₑ = τ · (S² / 2 + 2 · S · I) / (S + I)²", cite="derived: heat of a surge that decays over a steady current")
def equal_pulse(decay_s: Value, surge_a: Value, steady_a: Value) -> Value:
    """Length of a pulse of the peak current with the heat of a decaying surge.

    Args:
        decay_s: τ [s]. Time constant of the surge.
        surge_a: S [A]. Surge above what flows afterwards.
        steady_a: I [A]. What flows afterwards.
    Returns:
        tₑ [s]. Length of the pulse.

    The heat of the steady current itself is left out: a fuse carries that for ever.

    >>> equal_pulse(0.002, 10.0, 0.0)
    0.001
    """
    return decay_s * (surge_a**2 / 2 + 2 * surge_a * steady_a) / (surge_a + steady_a) ** 2
