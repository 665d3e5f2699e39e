"""Switches and relays."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("Iᵣ = F · I", cite="AC 43.13-1B table 11-4 note 1")
def switch_rating(current_a: Value, factor: Value) -> Value:
    """Rating a plain switch needs.

    Args:
        current_a: I [A]. Lasting current of the load.
        factor: F [-]. Factor of the load's kind and the system voltage.
    Returns:
        Iᵣ [A]. Nominal rating a plain switch needs.

    AC 43.13-1B table 11-4, note 1; at 12 V lamp 5, coil 2, motor 2, resistive 1.

    >>> switch_rating(10.0, 5)
    50.0
    """
    return factor * current_a


@formula("I = U / R", cite="Ohm's law")
def coil_current(voltage: Value, resistance: Value) -> Value:
    """Current of a relay coil.

    Args:
        voltage: U [V]. Voltage across the coil.
        resistance: R [ohm]. Coil resistance, cold.
    Returns:
        I [A]. Coil current.

    Ohm's law; cold, for the largest current its driver has to bear.

    >>> round(coil_current(12.0, 90.0), 3)
    0.133
    """
    return voltage / resistance
