"""What a load draws that is switched on and off: over time, and as heat."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("Iₘ = D · I", cite="definition of the mean")
def average_current(current_a: Value, duty: Value) -> Value:
    """Mean current of a load that is on for a share of the time.

    Args:
        current_a: I [A]. Current while on.
        duty: D [-]. Share of the time on, 0 to 1.
    Returns:
        Iₘ [A]. Mean current: what the battery and the alternator see. What heats a wire is `heating_current`.

    >>> average_current(10.0, 0.3)
    3.0
    """
    return duty * current_a


@formula("k = √(f · Iₚ / I)", cite="definition of the effective value of a pulse that repeats")
def heating_factor(peak_a: Value, mean_a: Value, form: Value = 1.0) -> Value:
    """Effective over mean current of a load that is switched many times a second.

    Args:
        peak_a: Iₚ [A]. Current at the height of a pulse.
        mean_a: I [A]. Mean current, which a clamp meter reads and the alternator delivers.
        form: f [-]. 1 for square pulses, 2/3 for pulses that rise in a straight line from nothing.
    Returns:
        k [-]. Factor by which the current counts for heat in wires and fuses.

    A square pulse of the share D has the mean D · Iₚ and the effective value √D · Iₚ; a ramp D · Iₚ / 2 and
    √(D / 3) · Iₚ.

    >>> heating_factor(20.0, 5.0)
    2.0
    """
    return (form * peak_a / mean_a) ** 0.5


@formula("Iₑ = k · I", cite="definition of the effective value")
def heating_current(current_a: Value, factor: Value) -> Value:
    """Effective current of a load that is switched many times a second: what heats wires and fuses.

    Args:
        current_a: I [A]. Mean current.
        factor: k [-]. From `heating_factor`.
    Returns:
        Iₑ [A]. Effective current.

    >>> heating_current(5.0, 2.0)
    10.0
    """
    return factor * current_a
