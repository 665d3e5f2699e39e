"""Formulas the program does not use, which printed answers and other formulas are held against: load."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula(
    "P = P₁ · (U / U₁)^n",
    cite="lamp re-rating law, n = 1.55 from current exponent 0.55; checked on Directive 97/24/EC annex 15",
)
def lamp_power(reference_power_w: Value, voltage_v: Value, reference_voltage_v: Value, exponent: Value = 1.55) -> Value:
    """Power of a filament lamp at another voltage.

    Args:
        reference_power_w: P₁ [W]. Power at the reference voltage.
        voltage_v: U [V]. Voltage at the lamp.
        reference_voltage_v: U₁ [V]. Voltage at which the power is stated.
        exponent: n [-]. 1.55; 1.6 is printed too.
    Returns:
        P [W]. Power.

    Directive 97/24/EC annex 15 states a 21 W lamp as 25 W ± 6 % at 13.5 V and a 5 W one as 6 W ± 10 %, exponents
    1.48 and 1.55 by arithmetic.

    >>> round(lamp_power(21.0, 13.5, 12.0), 1)
    25.2
    """
    return reference_power_w * (voltage_v / reference_voltage_v) ** exponent
