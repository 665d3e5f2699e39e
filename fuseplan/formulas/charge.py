"""Charge: what is left of it, what is put in, what goes by itself; how long it lasts is in `endurance.py`."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula

STATE_OF_CHARGE = "definition of the state of charge"


@formula("Q₀ = (1 - z) · C", cite=STATE_OF_CHARGE)
def charge_missing(charge: Value, capacity_ah: Value) -> Value:
    """Charge a battery lacks to be full.

    Args:
        charge: z [-]. State of charge.
        capacity_ah: C [A·h]. Capacity.
    Returns:
        Q₀ [A·h]. Charge that is missing.

    Definition.

    >>> round(charge_missing(0.8, 50.0), 6)
    10.0
    """
    return (1 - charge) * capacity_ah


@formula("Q = Q₁ - Q₀", cite="definition")
def charge_left(may_go_ah: Value, missing_ah: Value) -> Value:
    """Charge that may still be taken.

    Args:
        may_go_ah: Q₁ [A·h]. What may go from a full battery.
        missing_ah: Q₀ [A·h]. What is missing already.
    Returns:
        Q [A·h]. What may still go.

    >>> charge_left(20.0, 5.0)
    15.0
    """
    return may_go_ah - missing_ah


@formula("C₀ = C · z", cite=STATE_OF_CHARGE)
def charge_stored(capacity_ah: Value, charge: Value) -> Value:
    """Charge a battery holds.

    Args:
        capacity_ah: C [A·h]. Capacity.
        charge: z [-]. State of charge.
    Returns:
        C₀ [A·h]. Charge held.

    Definition.

    >>> charge_stored(50.0, 0.5)
    25.0
    """
    return capacity_ah * charge


@formula("Q = s · C₀", cite="definition")
def charge_counted_on(share: Value, stored_ah: Value) -> Value:
    """Part of the charge that is counted on.

    Args:
        share: s [-]. Share counted on.
        stored_ah: C₀ [A·h]. Charge held.
    Returns:
        Q [A·h]. Charge counted on.

    >>> charge_counted_on(0.75, 40.0)
    30.0
    """
    return share * stored_ah


@formula("I = s · C / H", cite="definition")
def self_discharge_current(share: Value, capacity_ah: Value, month_h: Value = 730.5) -> Value:
    """Current that would drain a battery as fast as its own self-discharge.

    Args:
        share: s [-]. Share lost in a month.
        capacity_ah: C [A·h]. Capacity.
        month_h: H [h]. 730.5.
    Returns:
        I [A]. Current.

    >>> round(self_discharge_current(0.03, 73.05), 6)
    0.003
    """
    return share * capacity_ah / month_h


@formula("I = -B", cite="definition")
def deficit(balance_a: Value) -> Value:
    """What the battery gives.

    Args:
        balance_a: B [A]. Current into the battery, negative out of it.
    Returns:
        I [A]. Current out of the battery.

    >>> deficit(-3.0)
    3.0
    """
    return -balance_a
