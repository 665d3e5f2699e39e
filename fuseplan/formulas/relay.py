"""Switches and relays."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("Iᵣ = F · I", cite="AC 43.13-1B table 11-4 note 1")
def switch_rating(current_a: Value, factor: Value) -> Value:
    """Rating a plain switch needs.

    Parameters
    ----------
    current_a : I [A]
        Lasting current of the load.
    factor : F [-]
        Factor of the load's kind and the system voltage.

    Returns
    -------
    Iᵣ [A]
        Nominal rating a plain switch needs.

    Notes
    -----
    AC 43.13-1B table 11-4, note 1; at 12 V lamp 5, coil 2, motor 2, resistive 1.

    Examples
    --------
    >>> switch_rating(10.0, 5)
    50.0
    """
    return factor * current_a


@formula("I = Iᵣ / F", cite="AC 43.13-1B table 11-4 note 2 (from memory)")
def switch_load(rating_a: Value, factor: Value) -> Value:
    """Load a plain switch can bear.

    Parameters
    ----------
    rating_a : Iᵣ [A]
        Nominal rating of the switch.
    factor : F [-]
        Factor of the load's kind and the system voltage.

    Returns
    -------
    I [A]
        Lasting load current the switch can bear.

    Notes
    -----
    AC 43.13-1B table 11-4, note 2.

    Examples
    --------
    >>> switch_load(10.0, 5)
    2.0
    """
    return rating_a / factor


@formula("I = U / R", cite="Ohm's law")
def coil_current(voltage: Value, resistance: Value) -> Value:
    """Current of a relay coil.

    Parameters
    ----------
    voltage : U [V]
        Voltage across the coil.
    resistance : R [ohm]
        Coil resistance, cold.

    Returns
    -------
    I [A]
        Coil current.

    Notes
    -----
    Ohm's law; cold, for the largest current its driver has to bear.

    Examples
    --------
    >>> round(coil_current(12.0, 90.0), 3)
    0.133
    """
    return voltage / resistance


@formula("P = U² / R", cite="Ohm's law")
def coil_power(voltage: Value, resistance: Value) -> Value:
    """Heat of a relay coil.

    Parameters
    ----------
    voltage : U [V]
        Voltage across the coil.
    resistance : R [ohm]
        Coil resistance, cold.

    Returns
    -------
    P [W]
        Heat in the coil.

    Notes
    -----
    Ohm's law.

    Examples
    --------
    >>> coil_power(12.0, 90.0)
    1.6
    """
    return voltage**2 / resistance


@formula("P = I² · R", cite="Joule's law")
def contact_power(current_a: Value, contact_ohm: Value) -> Value:
    """Heat of a closed contact.

    Parameters
    ----------
    current_a : I [A]
        Current through the contact.
    contact_ohm : R [ohm]
        Contact resistance.

    Returns
    -------
    P [W]
        Heat in the contact.

    Notes
    -----
    Joule's law.

    Examples
    --------
    >>> round(contact_power(10.0, 0.0015), 3)
    0.15
    """
    return current_a**2 * contact_ohm
