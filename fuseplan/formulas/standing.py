"""A standing car: reserve minutes, capacity, days to a no-start."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("Q = s · C", cite="a car maker's service bulletin: no start after about 40 % of the capacity is gone")
def usable_before_no_start(capacity_ah: Value, share: Value = 0.4) -> Value:
    """Charge a standing car may lose and still start.

    Args:
        capacity_ah: C [Ah]. Capacity.
        share: s [-]. Share that may go.
    Returns:
        Q [Ah]. Charge that may be taken.

    The same bulletin also says 20 to 30 Ah.

    >>> round(usable_before_no_start(54.0), 6)
    21.6
    """
    return share * capacity_ah


@formula("d = Q / (I · h)", cite="definition of charge")
def drain_days(usable_ah: Value, current_a: Value, hours_per_day: Value = 24.0) -> Value:
    """Days a car may stand.

    Args:
        usable_ah: Q [Ah]. Charge that may be taken.
        current_a: I [A]. Standing drain.
        hours_per_day: h [hour/day]. 24.
    Returns:
        d [day]. Days to a no-start.

    Leaves out self-discharge, which shortens it.

    >>> round(drain_days(21.6, 0.050), 6)
    18.0
    """
    return usable_ah / (current_a * hours_per_day)
