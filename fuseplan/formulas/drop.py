"""Voltage lost along wires."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("ΔU = I · R", cite="Ohm's law")
def voltage_drop(current_a: Value, resistance_ohm: Value) -> Value:
    """Voltage lost in a resistance.

    Args:
        current_a: I [A]. Current.
        resistance_ohm: R [ohm]. Resistance it passes.
    Returns:
        ΔU [V]. Voltage lost.

    Ohm's law; AC 43.13-1B table 11-7 works four examples.

    >>> voltage_drop(20.0, 0.05)
    1.0
    """
    return current_a * resistance_ohm


@formula("U = U₁ - ΔU", cite="Kirchhoff's voltage law")
def voltage_at_load(supply_v: Value, drop_v: Value) -> Value:
    """What is left for the load.

    Args:
        supply_v: U₁ [V]. Voltage at the feed.
        drop_v: ΔU [V]. Lost in supply and return.
    Returns:
        U [V]. Voltage across the load.

    >>> voltage_at_load(13.5, 0.5)
    13.0
    """
    return supply_v - drop_v


@formula("U₁ = U + ΔU", cite="Kirchhoff's voltage law")
def voltage_before(load_v: Value, drop_v: Value) -> Value:
    """Voltage at the near end of a wire, from that at its far end.

    Args:
        load_v: U [V]. Voltage at the far end.
        drop_v: ΔU [V]. Voltage lost on the way there; negative where current flows back.
    Returns:
        U₁ [V]. Voltage at the near end.

    >>> voltage_before(14.0, -0.5)
    13.5
    """
    return load_v + drop_v
