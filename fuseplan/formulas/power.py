"""Sums and shares of the whole car."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("s = I / Iᵣ", cite="AC 43.13-1B par. 11-35a")
def continuous_share(continuous_a: Value, rated_a: Value) -> Value:
    """How much of the alternator lasting loads take.

    Args:
        continuous_a: I [A]. Sum of the continuous loads.
        rated_a: Iᵣ [A]. Output limit of the alternator.
    Returns:
        s [-]. Share of the output limit in lasting use.

    AC 43.13-1B par. 11-35a asks for at most 80 %, as a rule of thumb.

    >>> round(continuous_share(49.0, 60.0), 3)
    0.817
    """
    return continuous_a / rated_a


@formula("B = Iₐ - I", cite="Kirchhoff's current law")
def balance(available_a: Value, demand_a: Value) -> Value:
    """What is left for the battery.

    Args:
        available_a: Iₐ [A]. Alternator output at that speed, hot.
        demand_a: I [A]. Demand.
    Returns:
        B [A]. Surplus; negative comes out of the battery.

    >>> balance(50.0, 63.5)
    -13.5
    """
    return available_a - demand_a


@formula("η = η₁ · η₂ · η₃", cite="definition; a maker's paper on alternator efficiency prints 40, 98, 55 and 21 %")
def chain_efficiency(engine: Value, belt: Value, alternator: Value) -> Value:
    """Share of the fuel that becomes electricity.

    Args:
        engine: η₁ [-]. Fuel to crankshaft.
        belt: η₂ [-]. Belt.
        alternator: η₃ [-]. Machine.
    Returns:
        η [-]. Fuel to wire.

    A chain's efficiencies multiply.

    >>> round(chain_efficiency(0.40, 0.98, 0.55), 3)
    0.216
    """
    return engine * belt * alternator


@formula("x = x₀ · (1 + τ)", cite="definition of a relative tolerance")
def upper_bound(value: Value, tolerance: Value) -> Value:
    """Upper bound of a current within its tolerance.

    Args:
        value: x₀ [A]. Value as entered.
        tolerance: τ [-]. Relative tolerance, 0.3 for 30 %.
    Returns:
        x [A]. Upper bound.

    >>> upper_bound(10.0, 0.3)
    13.0
    """
    return value * (1 + tolerance)
