"""How long a battery lasts at a current: Peukert's law and what follows from it."""

from __future__ import annotations

from fuseplan.formulas.charge import STATE_OF_CHARGE
from fuseplan.formulas.registry import Value, formula


@formula("I₂₀ = C / H", cite="definition of the 20-hour capacity")
def rated_current(capacity_ah: Value, rated_h: Value) -> Value:
    """Current the capacity of the label is stated at.

    Args:
        capacity_ah: C [A·h]. Capacity.
        rated_h: H [h]. Hours it is stated at.
    Returns:
        I₂₀ [A]. Current the capacity is stated at.

    >>> rated_current(60.0, 20.0)
    3.0
    """
    return capacity_ah / rated_h


@formula("i = I / I₂₀", cite="definition")
def current_ratio(current_a: Value, rated_a: Value) -> Value:
    """Current as a multiple of the one the capacity is stated at.

    Args:
        current_a: I [A]. Current.
        rated_a: I₂₀ [A]. Current the capacity is stated at.
    Returns:
        i [-]. Multiple.

    >>> current_ratio(12.0, 3.0)
    4.0
    """
    return current_a / rated_a


@formula("k = i^(n - 1)", cite="Peukert's law, 20-hour form")
def rate_factor(ratio: Value, n: Value) -> Value:
    """How much more than its own charge a current takes from the rated capacity.

    Args:
        ratio: i [-]. Current over the rated one, 1 at least.
        n: n [-]. Peukert exponent.
    Returns:
        k [-]. Charge taken for each ampere hour drawn.

    >>> round(rate_factor(4.0, 1.25), 4)
    1.4142
    """
    return ratio ** (n - 1)


@formula("Iₖ = I · k", cite="Peukert's law, 20-hour form")
def current_taken(current_a: Value, factor: Value) -> Value:
    """Current by what it takes from the rated capacity.

    Args:
        current_a: I [A]. Current drawn.
        factor: k [-]. From `rate_factor`.
    Returns:
        Iₖ [A]. What it takes from the rated capacity.

    >>> current_taken(10.0, 1.5)
    15.0
    """
    return current_a * factor


@formula("t = Q / I", cite="definition")
def time_to_spend(charge_ah: Value, current_a: Value) -> Value:
    """Time in which a current spends a charge.

    Args:
        charge_ah: Q [A·h]. Charge.
        current_a: I [A]. Current.
    Returns:
        t [h]. Time.

    >>> time_to_spend(30.0, 10.0)
    3.0
    """
    return charge_ah / current_a


@formula("t = t₁ · z", cite=STATE_OF_CHARGE)
def time_at_charge(full_h: Value, charge: Value) -> Value:
    """Time to flat from a state of charge.

    Args:
        full_h: t₁ [h]. Time from full.
        charge: z [-]. State of charge.
    Returns:
        t [h]. Time from that charge.

    Definition.

    >>> time_at_charge(10.0, 0.5)
    5.0
    """
    return full_h * charge


@formula("t = H · (C / (H · I))^n", cite="Peukert's law on rated capacity, battery monitor manuals")
def peukert_time(capacity_ah: Value, rated_h: Value, current: Value, n: Value) -> Value:
    """How long a battery lasts at a current.

    Args:
        capacity_ah: C [Ah]. Rated capacity.
        rated_h: H [h]. Hours the capacity is rated at, 20.
        current: I [A]. Current drawn.
        n: n [-]. Peukert exponent, 1.25 flooded, 1.11 gel or AGM by default.
    Returns:
        t [h]. Time to empty.

    Uses the rated (20 hour) capacity. Below the 20 hour current take n = 1. Never put in the capacity of
    `peukert_one_ampere`.

    >>> round(peukert_time(100.0, 20.0, 15.0, 1.26186), 2)
    5.0
    """
    return rated_h * (capacity_ah / (rated_h * current)) ** n


@formula(
    "t = (s · C - Q) / I",
    cite=(
        "battery reserve of an aircraft load analysis: 75 % of the label, 14 CFR 23.1353(h); an avionics "
        "installation manual, 190-02246-10 p. 3-38"
    ),
)
def endurance(capacity_ah: Value, spent_ah: Value, current_a: Value, usable_share: Value = 0.75) -> Value:
    """How long the battery feeds the essentials once the alternator has failed.

    Args:
        capacity_ah: C [Ah]. Capacity of the label.
        spent_ah: Q [Ah]. Charge already spent or kept back.
        current_a: I [A]. Essential load.
        usable_share: s [-]. Share of the label that may be counted on.
    Returns:
        t [h]. Time the essential load can be fed.

    The published example counts 5 minutes to notice and shed load, and keeps back what the landing takes.

    >>> round(endurance(35.0, 698.5 / 60, 34.0) * 60, 1)
    25.8
    """
    return (usable_share * capacity_ah - spent_ah) / current_a
