"""Sums and shares of the whole car."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("s = I / Iᵣ", cite="AC 43.13-1B par. 11-35a")
def continuous_share(continuous_a: Value, rated_a: Value) -> Value:
    """How much of the alternator lasting loads take.

    Parameters
    ----------
    continuous_a : I [A]
        Sum of the continuous loads.
    rated_a : Iᵣ [A]
        Output limit of the alternator.

    Returns
    -------
    s [-]
        Share of the output limit in lasting use.

    Notes
    -----
    AC 43.13-1B par. 11-35a asks for at most 80 %, as a rule of thumb.

    Examples
    --------
    >>> round(continuous_share(49.0, 60.0), 3)
    0.817
    """
    return continuous_a / rated_a


@formula("I = s · Iᵣ", cite="AC 43.13-1B par. 11-35a")
def continuous_limit(rated_a: Value, share: Value = 0.8) -> Value:
    """Lasting load an alternator may have.

    Parameters
    ----------
    rated_a : Iᵣ [A]
        Output limit of the alternator.
    share : s [-]
        0.8.

    Returns
    -------
    I [A]
        Largest sum of continuous loads.

    Notes
    -----
    AC 43.13-1B par. 11-35a.

    Examples
    --------
    >>> continuous_limit(60.0)
    48.0
    """
    return share * rated_a


@formula("B = Iₐ - I", cite="Kirchhoff's current law")
def balance(available_a: Value, demand_a: Value) -> Value:
    """What is left for the battery.

    Parameters
    ----------
    available_a : Iₐ [A]
        Alternator output at that speed, hot.
    demand_a : I [A]
        Demand.

    Returns
    -------
    B [A]
        Surplus; negative comes out of the battery.

    Notes
    -----
    Kirchhoff's current law.

    Examples
    --------
    >>> balance(50.0, 63.5)
    -13.5
    """
    return available_a - demand_a


@formula(
    "P = P₁ + P₂ + w · P₃",
    cite="textbook load classes with factor 0.1 on the intermittent one (an automobile textbook, 14.4)",
)
def weighted_power(
    continuous_w: Value, prolonged_w: Value, intermittent_w: Value, intermittent_factor: Value = 0.1
) -> Value:
    """Mean demand by classes of load.

    Parameters
    ----------
    continuous_w : P₁ [W]
        Continuous loads.
    prolonged_w : P₂ [W]
        Prolonged loads.
    intermittent_w : P₃ [W]
        Intermittent loads, all of them.
    intermittent_factor : w [-]
        0.1.

    Returns
    -------
    P [W]
        Mean demand.

    Notes
    -----
    The textbook prints factor 0.1 and 170 W as the mean of its intermittent class.

    Examples
    --------
    >>> weighted_power(180.0, 260.0, 1700.0)
    610.0
    """
    return continuous_w + prolonged_w + intermittent_factor * intermittent_w


@formula("W = P · t", cite="definition")
def energy(power_w: Value, time_s: Value) -> Value:
    """Energy of a power over a time.

    Parameters
    ----------
    power_w : P [W]
        Power.
    time_s : t [s]
        Time.

    Returns
    -------
    W [J]
        Energy.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> energy(55.0, 60.0)
    3300.0
    """
    return power_w * time_s


@formula("η = η₁ · η₂ · η₃", cite="definition; a maker's paper on alternator efficiency prints 40, 98, 55 and 21 %")
def chain_efficiency(engine: Value, belt: Value, alternator: Value) -> Value:
    """Share of the fuel that becomes electricity.

    Parameters
    ----------
    engine : η₁ [-]
        Fuel to crankshaft.
    belt : η₂ [-]
        Belt.
    alternator : η₃ [-]
        Machine.

    Returns
    -------
    η [-]
        Fuel to wire.

    Notes
    -----
    A chain's efficiencies multiply.

    Examples
    --------
    >>> round(chain_efficiency(0.40, 0.98, 0.55), 3)
    0.216
    """
    return engine * belt * alternator


@formula("x = x₀ · (1 + τ)", cite="definition of a relative tolerance")
def upper_bound(value: Value, tolerance: Value) -> Value:
    """Upper bound of a current within its tolerance.

    Parameters
    ----------
    value : x₀ [A]
        Value as entered.
    tolerance : τ [-]
        Relative tolerance, 0.3 for 30 %.

    Returns
    -------
    x [A]
        Upper bound.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> upper_bound(10.0, 0.3)
    13.0
    """
    return value * (1 + tolerance)


@formula("Iₘ = I · t / T", cite="MIL-E-7016F: average is sum of current times time on over the interval (from memory)")
def interval_average(current_a: Value, on_s: Value, interval_s: Value) -> Value:
    """Mean current of one load over an interval.

    Parameters
    ----------
    current_a : I [A]
        Current while on.
    on_s : t [s]
        Time on within the interval.
    interval_s : T [s]
        Length of the interval: 5 s, 5 min, or longer.

    Returns
    -------
    Iₘ [A]
        Share of the interval's mean current.

    Notes
    -----
    MIL-E-7016F section 6; the sum over all loads is the interval's demand.

    Examples
    --------
    >>> interval_average(20.0, 30.0, 300.0)
    2.0
    """
    return current_a * on_s / interval_s
