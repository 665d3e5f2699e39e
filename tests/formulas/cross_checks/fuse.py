"""Formulas the program does not use, which printed answers and other formulas are held against: fuse."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("I = m · Iᵣ", cite="definition of the test multiples in ISO 8820, DIN 72581-3")
def opening_current(rating: Value, multiple: Value) -> Value:
    """Current at a test point of the time-current table.

    Args:
        rating: Iᵣ [A]. Rating of the fuse.
        multiple: m [-]. Multiple of the rating, 1.35, 2, 3.5 or 6.
    Returns:
        I [A]. Current of that test point.

    DIN 72581-3 prints its products rounded to the whole ampere.

    >>> round(opening_current(60.0, 1.35), 6)
    81.0
    """
    return multiple * rating


@formula("P = I · ΔU", cite="definition of power")
def fuse_power(current_a: Value, drop_v: Value) -> Value:
    """Heat a fuse makes.

    Args:
        current_a: I [A]. Current.
        drop_v: ΔU [V]. Voltage across the fuse.
    Returns:
        P [W]. Heat made in the holder.

    >>> round(fuse_power(10.0, 0.108), 2)
    1.08
    """
    return current_a * drop_v


@formula("Eₘ = E / p", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 2")
def pulse_requirement(pulse_a2s: Value, fraction: Value) -> Value:
    """Melting energy a fuse needs to bear a pulse many times.

    Args:
        pulse_a2s: E [A²·s]. Let-through energy of one pulse.
        fraction: p [-]. Share of the melting energy one of so many pulses may have: 0.22 for 100,000, 0.48 for 100.
    Returns:
        Eₘ [A²·s]. Melting energy (nominal) the fuse must have.

    The chart is for electronic fuses, with 10 s between pulses; another maker allows 0.35 for 100,000 pulses.

    >>> round(pulse_requirement(60.0, 0.35), 1)
    171.4
    """
    return pulse_a2s / fraction


@formula("I = ΔU / R", cite="Ohm's law")
def current_through_fuse(drop_v: Value, resistance_ohm: Value) -> Value:
    """Current from the millivolts across a fuse.

    Args:
        drop_v: ΔU [V]. Measured across the fuse.
        resistance_ohm: R [ohm]. Resistance of the fuse.
    Returns:
        I [A]. Current that flows.

    The resistance varies by about 15 % between makers, so does the answer.

    >>> round(current_through_fuse(0.001, 0.0077), 2)
    0.13
    """
    return drop_v / resistance_ohm


@formula("I = U / R", cite="Ohm's law")
def fault_current(voltage_v: Value, loop_resistance_ohm: Value) -> Value:
    """Short-circuit current at the end of a loop.

    Args:
        voltage_v: U [V]. Open-circuit voltage of the source.
        loop_resistance_ohm: R [ohm]. Whole loop: source, fuses, supply lead, earth return.
    Returns:
        I [A]. Current into a dead short at that place.

    Ohm's law; the loop hot for the smallest fault current, cold for the largest.

    >>> fault_current(12.5, 0.05)
    250.0
    """
    return voltage_v / loop_resistance_ohm


@formula("I = Iᵣ · s · f", cite="fuse selection rule, solved for the load (see smallest_fuse)")
def allowed_load(rating: Value, share: Value, ambient_factor: Value) -> Value:
    """Largest lasting load of a fuse.

    Args:
        rating: Iᵣ [A]. Rating of the fuse.
        share: s [-]. Share of its rating a fuse may carry lastingly at 25 °C.
        ambient_factor: f [-]. Share left at the holder's ambient.
    Returns:
        I [A]. Largest lasting load.

    The rule of `smallest_fuse` the other way round. A body-builder manual of 2015 prints 150 A and 105 A, 0.70.

    >>> round(allowed_load(150.0, 0.70, 1.0), 6)
    105.0
    """
    return rating * share * ambient_factor
