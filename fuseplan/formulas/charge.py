"""Charge, time and the currents between them: how long a battery lasts."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("Q₀ = (1 - z) · C", cite="definition of the state of charge")
def charge_missing(charge: Value, capacity_ah: Value) -> Value:
    """Charge a battery lacks to be full.

    Parameters
    ----------
    charge : z [-]
        State of charge.
    capacity_ah : C [A·h]
        Capacity.

    Returns
    -------
    Q₀ [A·h]
        Charge that is missing.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> round(charge_missing(0.8, 50.0), 6)
    10.0
    """
    return (1 - charge) * capacity_ah


@formula("Q = Q₁ - Q₀", cite="definition")
def charge_left(may_go_ah: Value, missing_ah: Value) -> Value:
    """Charge that may still be taken.

    Parameters
    ----------
    may_go_ah : Q₁ [A·h]
        What may go from a full battery.
    missing_ah : Q₀ [A·h]
        What is missing already.

    Returns
    -------
    Q [A·h]
        What may still go.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> charge_left(20.0, 5.0)
    15.0
    """
    return may_go_ah - missing_ah


@formula("C₀ = C · z", cite="definition of the state of charge")
def charge_stored(capacity_ah: Value, charge: Value) -> Value:
    """Charge a battery holds.

    Parameters
    ----------
    capacity_ah : C [A·h]
        Capacity.
    charge : z [-]
        State of charge.

    Returns
    -------
    C₀ [A·h]
        Charge held.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> charge_stored(50.0, 0.5)
    25.0
    """
    return capacity_ah * charge


@formula("Q = s · C₀", cite="definition")
def charge_counted_on(share: Value, stored_ah: Value) -> Value:
    """Part of the charge that is counted on.

    Parameters
    ----------
    share : s [-]
        Share counted on.
    stored_ah : C₀ [A·h]
        Charge held.

    Returns
    -------
    Q [A·h]
        Charge counted on.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> charge_counted_on(0.75, 40.0)
    30.0
    """
    return share * stored_ah


@formula("I₂₀ = C / H", cite="definition of the 20-hour capacity")
def rated_current(capacity_ah: Value, rated_h: Value) -> Value:
    """Current the capacity of the label is stated at.

    Parameters
    ----------
    capacity_ah : C [A·h]
        Capacity.
    rated_h : H [h]
        Hours it is stated at.

    Returns
    -------
    I₂₀ [A]
        Current the capacity is stated at.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> rated_current(60.0, 20.0)
    3.0
    """
    return capacity_ah / rated_h


@formula("i = I / I₂₀", cite="definition")
def current_ratio(current_a: Value, rated_a: Value) -> Value:
    """Current as a multiple of the one the capacity is stated at.

    Parameters
    ----------
    current_a : I [A]
        Current.
    rated_a : I₂₀ [A]
        Current the capacity is stated at.

    Returns
    -------
    i [-]
        Multiple.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> current_ratio(12.0, 3.0)
    4.0
    """
    return current_a / rated_a


@formula("k = i^(n - 1)", cite="Peukert's law, 20-hour form")
def rate_factor(ratio: Value, n: Value) -> Value:
    """How much more than its own charge a current takes from the rated capacity.

    Parameters
    ----------
    ratio : i [-]
        Current over the rated one, 1 at least.
    n : n [-]
        Peukert exponent.

    Returns
    -------
    k [-]
        Charge taken for each ampere hour drawn.

    Notes
    -----
    Peukert's law.

    Examples
    --------
    >>> round(rate_factor(4.0, 1.25), 4)
    1.4142
    """
    return ratio ** (n - 1)


@formula("Iₖ = I · k", cite="Peukert's law, 20-hour form")
def current_taken(current_a: Value, factor: Value) -> Value:
    """Current by what it takes from the rated capacity.

    Parameters
    ----------
    current_a : I [A]
        Current drawn.
    factor : k [-]
        From `rate_factor`.

    Returns
    -------
    Iₖ [A]
        What it takes from the rated capacity.

    Notes
    -----
    Peukert's law.

    Examples
    --------
    >>> current_taken(10.0, 1.5)
    15.0
    """
    return current_a * factor


@formula("t = Q / I", cite="definition")
def time_to_spend(charge_ah: Value, current_a: Value) -> Value:
    """Time in which a current spends a charge.

    Parameters
    ----------
    charge_ah : Q [A·h]
        Charge.
    current_a : I [A]
        Current.

    Returns
    -------
    t [h]
        Time.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> time_to_spend(30.0, 10.0)
    3.0
    """
    return charge_ah / current_a


@formula("t = t₁ · z", cite="definition of the state of charge")
def time_at_charge(full_h: Value, charge: Value) -> Value:
    """Time to flat from a state of charge.

    Parameters
    ----------
    full_h : t₁ [h]
        Time from full.
    charge : z [-]
        State of charge.

    Returns
    -------
    t [h]
        Time from that charge.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> time_at_charge(10.0, 0.5)
    5.0
    """
    return full_h * charge


@formula("I = s · C / H", cite="definition")
def self_discharge_current(share: Value, capacity_ah: Value, month_h: Value = 730.5) -> Value:
    """Current that would drain a battery as fast as its own self-discharge.

    Parameters
    ----------
    share : s [-]
        Share lost in a month.
    capacity_ah : C [A·h]
        Capacity.
    month_h : H [h]
        730.5.

    Returns
    -------
    I [A]
        Current.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> round(self_discharge_current(0.03, 73.05), 6)
    0.003
    """
    return share * capacity_ah / month_h


@formula("I = -B", cite="definition")
def deficit(balance_a: Value) -> Value:
    """What the battery gives.

    Parameters
    ----------
    balance_a : B [A]
        Current into the battery, negative out of it.

    Returns
    -------
    I [A]
        Current out of the battery.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> deficit(-3.0)
    3.0
    """
    return -balance_a
