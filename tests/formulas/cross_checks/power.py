"""Formulas the program does not use, which printed answers and other formulas are held against: power."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("I = s · Iᵣ", cite="AC 43.13-1B par. 11-35a")
def continuous_limit(rated_a: Value, share: Value = 0.8) -> Value:
    """Lasting load an alternator may have.

    Args:
        rated_a: Iᵣ [A]. Output limit of the alternator.
        share: s [-]. 0.8.
    Returns:
        I [A]. Largest sum of continuous loads.

    >>> continuous_limit(60.0)
    48.0
    """
    return share * rated_a


@formula(
    "P = P₁ + P₂ + w · P₃",
    cite="textbook load classes with factor 0.1 on the intermittent one (an automobile textbook, 14.4)",
)
def weighted_power(
    continuous_w: Value, prolonged_w: Value, intermittent_w: Value, intermittent_factor: Value = 0.1
) -> Value:
    """Mean demand by classes of load.

    Args:
        continuous_w: P₁ [W]. Continuous loads.
        prolonged_w: P₂ [W]. Prolonged loads.
        intermittent_w: P₃ [W]. Intermittent loads, all of them.
        intermittent_factor: w [-]. 0.1.
    Returns:
        P [W]. Mean demand.

    The textbook prints factor 0.1 and 170 W as the mean of its intermittent class.

    >>> weighted_power(180.0, 260.0, 1700.0)
    610.0
    """
    return continuous_w + prolonged_w + intermittent_factor * intermittent_w
