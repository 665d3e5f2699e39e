"""Formulas the program does not use, which printed answers and other formulas are held against: standing."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("C = a · t + b", cite="Ah = RC/2 + 16, widely printed, no standard found")
def capacity_from_reserve_half_plus_16(
    reserve_min: Value, slope_ah_per_min: Value = 0.5, offset_ah: Value = 16.0
) -> Value:
    """Capacity from the reserve minutes, first published conversion.

    Args:
        reserve_min: t [min]. Reserve capacity: minutes at 25 A, 27 °C, to 10.5 V.
        slope_ah_per_min: a [Ah/min]. One half.
        offset_ah: b [Ah]. 16.
    Returns:
        C [Ah]. 20 hour capacity, estimated.

    Disagrees with `capacity_from_reserve_bulletin` (76 against 72 Ah at 120 min): both are shown.

    >>> capacity_from_reserve_half_plus_16(120.0)
    76.0
    """
    return slope_ah_per_min * reserve_min + offset_ah


@formula("C = a · t", cite="a car maker's service bulletin: Ah = 0.6 RC")
def capacity_from_reserve_bulletin(reserve_min: Value, slope_ah_per_min: Value = 0.6) -> Value:
    """Capacity from the reserve minutes, second published conversion.

    Args:
        reserve_min: t [min]. Reserve capacity: minutes at 25 A, 27 °C, to 10.5 V.
        slope_ah_per_min: a [Ah/min]. 0.6.
    Returns:
        C [Ah]. Capacity, estimated.

    The bulletin uses it for the standing-drain sum.

    >>> capacity_from_reserve_bulletin(90.0)
    54.0
    """
    return slope_ah_per_min * reserve_min
