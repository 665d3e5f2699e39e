"""A standing car: reserve minutes, capacity, days to a no-start."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("C = a · t + b", cite="Ah = RC/2 + 16, widely printed, no standard found")
def capacity_from_reserve_half_plus_16(
    reserve_min: Value, slope_ah_per_min: Value = 0.5, offset_ah: Value = 16.0
) -> Value:
    """Capacity from the reserve minutes, first published conversion.

    Parameters
    ----------
    reserve_min : t [min]
        Reserve capacity: minutes at 25 A, 27 °C, to 10.5 V.
    slope_ah_per_min : a [Ah/min]
        One half.
    offset_ah : b [Ah]
        16.

    Returns
    -------
    C [Ah]
        20 hour capacity, estimated.

    Notes
    -----
    Disagrees with `capacity_from_reserve_bulletin` (76 against 72 Ah at 120 min): both are shown.

    Examples
    --------
    >>> capacity_from_reserve_half_plus_16(120.0)
    76.0
    """
    return slope_ah_per_min * reserve_min + offset_ah


@formula("C = a · t", cite="a car maker's service bulletin: Ah = 0.6 RC")
def capacity_from_reserve_bulletin(reserve_min: Value, slope_ah_per_min: Value = 0.6) -> Value:
    """Capacity from the reserve minutes, second published conversion.

    Parameters
    ----------
    reserve_min : t [min]
        Reserve capacity: minutes at 25 A, 27 °C, to 10.5 V.
    slope_ah_per_min : a [Ah/min]
        0.6.

    Returns
    -------
    C [Ah]
        Capacity, estimated.

    Notes
    -----
    The bulletin uses it for the standing-drain sum.

    Examples
    --------
    >>> capacity_from_reserve_bulletin(90.0)
    54.0
    """
    return slope_ah_per_min * reserve_min


@formula("C = I · t / h", cite="definition of reserve capacity (SAE J537)")
def capacity_at_25_a(reserve_min: Value, current_a: Value = 25.0, minutes_per_hour: Value = 60.0) -> Value:
    """Charge the reserve test takes out.

    Parameters
    ----------
    reserve_min : t [min]
        Reserve capacity in minutes.
    current_a : I [A]
        25 A by definition.
    minutes_per_hour : h [min/hour]
        60.

    Returns
    -------
    C [Ah]
        Capacity at 25 A, which is less than the 20 hour capacity.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> capacity_at_25_a(120.0)
    50.0
    """
    return current_a * reserve_min / minutes_per_hour


@formula("Q = s · C", cite="a car maker's service bulletin: no start after about 40 % of the capacity is gone")
def usable_before_no_start(capacity_ah: Value, share: Value = 0.4) -> Value:
    """Charge a standing car may lose and still start.

    Parameters
    ----------
    capacity_ah : C [Ah]
        Capacity.
    share : s [-]
        Share that may go.

    Returns
    -------
    Q [Ah]
        Charge that may be taken.

    Notes
    -----
    The same bulletin also says 20 to 30 Ah.

    Examples
    --------
    >>> round(usable_before_no_start(54.0), 6)
    21.6
    """
    return share * capacity_ah


@formula("d = Q / (I · h)", cite="definition of charge")
def drain_days(usable_ah: Value, current_a: Value, hours_per_day: Value = 24.0) -> Value:
    """Days a car may stand.

    Parameters
    ----------
    usable_ah : Q [Ah]
        Charge that may be taken.
    current_a : I [A]
        Standing drain.
    hours_per_day : h [hour/day]
        24.

    Returns
    -------
    d [day]
        Days to a no-start.

    Notes
    -----
    Leaves out self-discharge, which shortens it.

    Examples
    --------
    >>> round(drain_days(21.6, 0.050), 6)
    18.0
    """
    return usable_ah / (current_a * hours_per_day)
