"""Battery: resistance, voltage under load, how long it lasts."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("r = (U₀ - U₁) / I", cite="from the cold-crank test of EN 50342-1 (10 s to 7.5 V) or SAE J537 (30 s to 7.2 V)")
def internal_resistance_from_cold_crank(open_v: Value, end_v: Value, current: Value) -> Value:
    """Internal resistance from the label's cold-crank current.

    Args:
        open_v: U₀ [V]. Open-circuit voltage.
        end_v: U₁ [V]. Voltage at the end of the test.
        current: I [A]. Cold-crank current of the label.
    Returns:
        r [ohm]. Internal resistance at -18 °C; about half at 20 °C (common practice).

    Arithmetic on the test's definition: the voltage the standard permits at the end, so the resistance of a battery
    that just passes.

    >>> round(internal_resistance_from_cold_crank(12.7, 7.5, 500.0), 4)
    0.0104
    """
    return (open_v - end_v) / current


@formula("r = r₁ · s", cite="definition of the share")
def resistance_at_temperature(test_ohm: Value, share: Value) -> Value:
    """Internal resistance at another temperature than that of the cold test.

    Args:
        test_ohm: r₁ [ohm]. In the cold test.
        share: s [-]. Share of it that is left at the battery's temperature.
    Returns:
        r [ohm]. Internal resistance.

    >>> resistance_at_temperature(0.008, 0.5)
    0.004
    """
    return test_ohm * share


@formula("U = E - r · I", cite="Kirchhoff's voltage law")
def terminal_voltage(emf_v: Value, internal_ohm: Value, current_a: Value) -> Value:
    """Voltage at the battery posts under load.

    Args:
        emf_v: E [V]. Open-circuit voltage.
        internal_ohm: r [ohm]. Internal resistance.
        current_a: I [A]. Current drawn.
    Returns:
        U [V]. Voltage at the posts.

    >>> terminal_voltage(12.0, 0.012, 100.0)
    10.8
    """
    return emf_v - internal_ohm * current_a


@formula("I = (E - U) / r", cite="Kirchhoff's voltage law")
def battery_current(emf_v: Value, voltage_v: Value, internal_ohm: Value) -> Value:
    """Current out of a battery, from the voltage at its posts.

    Args:
        emf_v: E [V]. Open-circuit voltage.
        voltage_v: U [V]. Voltage at the posts.
        internal_ohm: r [ohm]. Internal resistance.
    Returns:
        I [A]. Current out of the battery.

    >>> round(battery_current(12.0, 10.8, 0.012), 6)
    100.0
    """
    return (emf_v - voltage_v) / internal_ohm


@formula("Iₐ = I - I₁", cite="Kirchhoff's current law")
def rest_of_demand(demand_a: Value, battery_a: Value) -> Value:
    """What the alternator gives beside a battery that gives as well.

    Args:
        demand_a: I [A]. All that draws.
        battery_a: I₁ [A]. Current out of the battery.
    Returns:
        Iₐ [A]. Current of the alternator.

    >>> rest_of_demand(40.0, 25.0)
    15.0
    """
    return demand_a - battery_a


@formula("I = E / (r + R)", cite="Kirchhoff's voltage law")
def short_circuit_current(emf_v: Value, internal_ohm: Value, loop_ohm: Value) -> Value:
    """Short-circuit current of a battery through a loop.

    Args:
        emf_v: E [V]. Open-circuit voltage.
        internal_ohm: r [ohm]. Internal resistance.
        loop_ohm: R [ohm]. Resistance of the leads to the short and back.
    Returns:
        I [A]. Current into the short.

    Kirchhoff's voltage law. A warm battery gives about twice the current of a cold one.

    >>> short_circuit_current(12.5, 0.005, 0.020)
    500.0
    """
    return emf_v / (internal_ohm + loop_ohm)


@formula("Q = I · t", cite="definition of charge")
def charge_spent(current_a: Value, time_h: Value) -> Value:
    """Charge a current takes.

    Args:
        current_a: I [A]. Current.
        time_h: t [h]. Time.
    Returns:
        Q [Ah]. Charge taken.

    >>> charge_spent(43.5, 0.5)
    21.75
    """
    return current_a * time_h


@formula("I = U / R", cite="Ohm's law: a starter that stands still is a resistance")
def stalled_current(voltage_v: Value, locked_ohm: Value) -> Value:
    """Current of a starter whose voltage no longer turns it.

    Args:
        voltage_v: U [V]. Voltage across it.
        locked_ohm: R [ohm]. Resistance with the rotor standing still.
    Returns:
        I [A]. Current.

    >>> round(stalled_current(1.0, 0.005), 6)
    200.0
    """
    return voltage_v / locked_ohm


@formula("n = (U - R · I) / (U₁ - R · I)",
         cite="voltage induced in a motor: at one current it rises in proportion to the speed")
def cranking_speed(voltage_v: Value, stated_v: Value, locked_ohm: Value, current_a: Value) -> Value:
    """Speed of a starter as a share of that at the voltage its current is stated at, the same current flowing.

    Args:
        voltage_v: U [V]. Voltage across it.
        stated_v: U₁ [V]. Voltage its current is stated at.
        locked_ohm: R [ohm]. Resistance with the rotor standing still.
        current_a: I [A]. Current the engine's drag asks of it.
    Returns:
        n [-]. Share of the speed.

    At one current the field of a series or a permanent-magnet motor is one; what its own resistance leaves of the
    voltage is induced by the speed.

    >>> round(cranking_speed(9.0, 10.0, 0.01, 200.0), 6)
    0.875
    """
    return (voltage_v - locked_ohm * current_a) / (stated_v - locked_ohm * current_a)
