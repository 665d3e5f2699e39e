"""Formulas the program does not use, which printed answers and other formulas are held against: relay."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("P = U² / R", cite="Ohm's law")
def coil_power(voltage: Value, resistance: Value) -> Value:
    """Heat of a relay coil.

    Args:
        voltage: U [V]. Voltage across the coil.
        resistance: R [ohm]. Coil resistance, cold.
    Returns:
        P [W]. Heat in the coil.

    >>> coil_power(12.0, 90.0)
    1.6
    """
    return voltage**2 / resistance


@formula("P = I² · R", cite="Joule's law")
def contact_power(current_a: Value, contact_ohm: Value) -> Value:
    """Heat of a closed contact.

    Args:
        current_a: I [A]. Current through the contact.
        contact_ohm: R [ohm]. Contact resistance.
    Returns:
        P [W]. Heat in the contact.

    >>> round(contact_power(10.0, 0.0015), 3)
    0.15
    """
    return current_a**2 * contact_ohm
