"""What a meter reads, and what the reading says."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("Δ = s · M + n · d", cite="a meter maker's page: ±(1 % + 2) at 100.0 V is 98.8 to 101.2 V")
def reading_error(reading: Value, share: Value, digits: Value, digit: Value) -> Value:
    """What a reading of a meter may be off by to either side.

    Args:
        reading: M [-]. What the meter shows, in its own unit.
        share: s [-]. Error as a share of the reading.
        digits: n [-]. Error in digits of the last place.
        digit: d [-]. Size of one digit of the last place, in the unit of the reading.
    Returns:
        Δ [-]. Error, in the unit of the reading.

    The published example adds the two parts; they are not squared.

    >>> round(reading_error(100.0, 0.01, 2, 0.1), 6)
    1.2
    """
    return share * reading + digits * digit


@formula("R = U / (m · I)", cite="Ohm's law at the moment of switching on")
def cold_resistance(voltage_v: Value, current_a: Value, multiple: Value) -> Value:
    """Resistance of a load before it has warmed up or begun to turn.

    Args:
        voltage_v: U [V]. Voltage its running current is stated at.
        current_a: I [A]. Running current.
        multiple: m [-]. Switch-on current as a multiple of the running one: 10 to 15 for a filament lamp (National
            Instruments FP-RLY-420 manual), 1 for a heater or a coil.
    Returns:
        R [ohm]. Cold resistance.

    A 21 W lamp, 6.9 Ω hot, reads about 0.5 to 0.7 Ω and looks like a short.

    >>> round(cold_resistance(12.0, 1.75, 12.0), 2)
    0.57
    """
    return voltage_v / (multiple * current_a)
