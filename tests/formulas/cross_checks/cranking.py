"""Formulas the program does not use, which printed answers and other formulas are held against: cranking."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("I = E / (r + Rₗ + Rₘ)", cite="Kirchhoff's voltage law")
def cranking_current(emf_v: Value, internal_ohm: Value, lead_ohm: Value, starter_ohm: Value) -> Value:
    """Current while cranking.

    Args:
        emf_v: E [V]. Open-circuit voltage.
        internal_ohm: r [ohm]. Internal resistance.
        lead_ohm: Rₗ [ohm]. Leads, solenoid, earth strap and joints.
        starter_ohm: Rₘ [ohm]. Starter, as loaded.
    Returns:
        I [A]. Cranking current.

    Kirchhoff's voltage law; the loaded starter taken as a resistance, as in the textbook example.

    >>> round(cranking_current(12.0, 0.01, 0.09, 0.05), 6)
    80.0
    """
    return emf_v / (internal_ohm + lead_ohm + starter_ohm)


@formula("U = I · Rₘ", cite="Ohm's law")
def starter_voltage(current_a: Value, starter_ohm: Value) -> Value:
    """Voltage left for the starter.

    Args:
        current_a: I [A]. Cranking current.
        starter_ohm: Rₘ [ohm]. Starter, as loaded.
    Returns:
        U [V]. Voltage at the starter.

    >>> starter_voltage(80.0, 0.05)
    4.0
    """
    return current_a * starter_ohm


@formula("P = I² · Rₘ", cite="Joule's law")
def starter_power(current_a: Value, starter_ohm: Value) -> Value:
    """Power the starter takes.

    Args:
        current_a: I [A]. Cranking current.
        starter_ohm: Rₘ [ohm]. Starter, as loaded.
    Returns:
        P [W]. Electrical power of the starter.

    >>> starter_power(80.0, 0.05)
    320.0
    """
    return current_a**2 * starter_ohm
