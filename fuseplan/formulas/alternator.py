"""Alternator: speed, output, regulator voltage, what it takes from the engine."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("n = i · N", cite="definition of the pulley ratio")
def rotor_speed(engine: Value, ratio: Value) -> Value:
    """Speed of the rotor.

    Args:
        engine: N [rpm]. Engine speed.
        ratio: i [-]. Crank pulley over alternator pulley.
    Returns:
        n [rpm]. Speed of the rotor.

    >>> rotor_speed(750.0, 2.0)
    1500.0
    """
    return ratio * engine


@formula("N = n / i", cite="definition of the pulley ratio")
def engine_speed(rotor: Value, ratio: Value) -> Value:
    """Engine speed that turns the rotor so fast.

    Args:
        rotor: n [rpm]. Rotor speed.
        ratio: i [-]. Crank pulley over alternator pulley.
    Returns:
        N [rpm]. Engine speed.

    >>> engine_speed(1500.0, 2.0)
    750.0
    """
    return rotor / ratio


@formula("P = U · I / η", cite="definition of efficiency")
def shaft_power(voltage: Value, current: Value, efficiency: Value) -> Value:
    """Power the alternator takes from the belt.

    Args:
        voltage: U [V]. Voltage at the terminal.
        current: I [A]. Current delivered.
        efficiency: η [-]. 0.50 to 0.55 for a claw-pole machine.
    Returns:
        P [W]. Power at the pulley.

    Definition; efficiency 0.55 from a maker's paper, 0.80 in one textbook exercise.

    >>> round(shaft_power(12.0, 10.0, 0.80), 6)
    150.0
    """
    return voltage * current / efficiency


@formula(
    "U = U₀ + c · (T - T₀)",
    cite="linear temperature compensation; slope about -0.010 V/K in two workshop manuals",
)
def regulated_voltage(regulator_voltage: Value, slope: Value, temperature: Value, reference: Value = 20.0) -> Value:
    """Regulated voltage at a temperature.

    Args:
        regulator_voltage: U₀ [V]. Regulator voltage at the reference temperature.
        slope: c [V/K]. Change per kelvin, negative.
        temperature: T [°C]. Temperature of the regulator.
        reference: T₀ [°C]. Temperature of the regulator voltage.
    Returns:
        U [V]. Regulated voltage.

    A marine engine maker prints -0.1 V per 10 °C; the middle values of a car maker's table give -10.5 mV/K; another
    maker prints -3.5 mV/K.

    >>> round(regulated_voltage(14.2, -0.010, 80.0), 2)
    13.6
    """
    return regulator_voltage + slope * (temperature - reference)


@formula(
    "I = q · Iₘ",
    cite=(
        "old type code (last figure: hundreds of r/min at which two thirds of the maximum is reached), a "
        "workshop manual of 1972"
    ),
)
def old_code_current(maximum_a: Value, share: Value = 2 / 3) -> Value:
    """Output at the code's second speed.

    Args:
        maximum_a: Iₘ [A]. Maximum current of the code.
        share: q [-]. Two thirds.
    Returns:
        I [A]. Output at the speed of the code.

    In "14V 35A 20" the 35 is the maximum and the 20 means 2000 r/min of the rotor.

    >>> round(old_code_current(35.0), 1)
    23.3
    """
    return share * maximum_a


@formula("I = h · I₁", cite="definition of the hot factor")
def hot_output(cold: Value, factor: Value) -> Value:
    """Output of a hot machine.

    Args:
        cold: I₁ [A]. Output by the label, at 23 °C.
        factor: h [-]. Hot over cold output: 0.67 at 1300 r/min, 0.82 at 2500 r/min of one machine.
    Returns:
        I [A]. Output hot.

    An engine maker's manual prints 16 A hot and 24 A cold at 1300 r/min, 41 and 50 A at 2500 r/min.

    >>> round(hot_output(50.0, 0.82), 6)
    41.0
    """
    return factor * cold
