"""What a load draws."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula(
    "I = I₁ · (U / U₁)^n",
    cite="power law of load current; n = 0.55 for lamps: Fink & Beaty, 11th ed., p. 22-8 (second-hand)",
)
def load_current(reference_current_a: Value, voltage_v: Value, reference_voltage_v: Value, exponent: Value) -> Value:
    """Current of a load at another voltage than the one it was rated at.

    Args:
        reference_current_a: I₁ [A]. Current at the reference voltage.
        voltage_v: U [V]. Voltage across the load.
        reference_voltage_v: U₁ [V]. Voltage at which the current is known.
        exponent: n [-]. 1 resistive and coil, 0.55 filament lamp, -1 electronic supply of constant power.
    Returns:
        I [A]. Current.

    Lamp exponent 0.55 as quoted from the Standard Handbook for Electrical Engineers, 11th edition, p. 22-8. The
    exponents 1 and -1 are Ohm's law and constant power.

    >>> round(load_current(1.75, 13.5, 12.0, 0.55), 3)
    1.867
    """
    return reference_current_a * (voltage_v / reference_voltage_v) ** exponent


@formula(
    "P = U² / (4 · R)",
    cite="maximum power transfer: K. V. Cartwright, Non-calculus derivation of the maximum power transfer theorem, "
    "Technology Interface, spring 2008",
)
def largest_power(voltage_v: Value, resistance_ohm: Value) -> Value:
    """Most power that reaches a load through the resistance of its wires, whatever the load draws.

    Args:
        voltage_v: U [V]. Voltage of the source, taken as having no resistance of its own.
        resistance_ohm: R [ohm]. Resistance of the way out and back.
    Returns:
        P [W]. Power at the load; half the voltage is then lost on the way.

    The abstract of the paper was read, not its derivation.

    >>> largest_power(12.0, 0.5)
    72.0
    """
    return voltage_v**2 / (4 * resistance_ohm)


@formula("I = P / U", cite="definition of power")
def current_from_power(power_w: Value, voltage_v: Value) -> Value:
    """Current of a load given by its power.

    Args:
        power_w: P [W]. Power at that voltage.
        voltage_v: U [V]. Voltage the power is stated at.
    Returns:
        I [A]. Current.

    >>> current_from_power(110.0, 12.0).__round__(2)
    9.17
    """
    return power_w / voltage_v


@formula("τ = I₂ / I₁ - 1", cite="definition")
def range_tolerance(end_a: Value, current_a: Value) -> Value:
    """How far the upper end of a published range lies above the current entered.

    Args:
        end_a: I₂ [A]. Upper end of the range.
        current_a: I₁ [A]. Current as entered.
    Returns:
        τ [-]. Share of the current entered.

    The range counts where it reaches further than the tolerance of such a figure.

    >>> range_tolerance(6.0, 4.0)
    0.5
    """
    return end_a / current_a - 1


@formula("P = U · I", cite="definition of power")
def power_from_current(current_a: Value, voltage_v: Value) -> Value:
    """Power of a load given by its current.

    Args:
        current_a: I [A]. Current.
        voltage_v: U [V]. Voltage across the load.
    Returns:
        P [W]. Power.

    >>> power_from_current(10.0, 12.0)
    120.0
    """
    return voltage_v * current_a


@formula("φ = (U / U₁)^n", cite="lamp re-rating law, n = 3.4: Fink & Beaty, 11th ed., p. 22-8 (second-hand)")
def lamp_light(voltage_v: Value, reference_voltage_v: Value, exponent: Value = 3.4) -> Value:
    """Share of its light a filament lamp still gives.

    Args:
        voltage_v: U [V]. Voltage at the lamp.
        reference_voltage_v: U₁ [V]. Voltage at which the light is called 1.
        exponent: n [-]. 3.4 to 3.5 as published.
    Returns:
        φ [-]. Share of the light.

    A lamp maker's own table (95, 90, 85 % of voltage: 83, 67, 53 % of light) is steeper, 3.6 to 3.9: the law flatters.

    >>> round(lamp_light(12.15, 13.5), 2)
    0.7
    """
    return (voltage_v / reference_voltage_v) ** exponent


@formula("U = s · U₁", cite="common practice, no source")
def least_followed_voltage(reference_voltage_v: Value, share: Value = 0.5) -> Value:
    """Voltage below which a load no longer follows its law: one of constant power has stopped working.

    Args:
        reference_voltage_v: U₁ [V]. Voltage its current is stated at.
        share: s [-]. Half.
    Returns:
        U [V]. Least voltage its law is followed to.

    >>> least_followed_voltage(12.0)
    6.0
    """
    return share * reference_voltage_v
