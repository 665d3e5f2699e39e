"""Fuses: what the load needs, what the wire allows, what the fuse itself drops."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula(
    "Iᵣ = I / (s · f)",
    cite=(
        "fuse selection rule: catalogue rating = normal current / (share × percent of rating), fuse makers' "
        "selection guides (from memory; same form read in TA-I sheet TCP-XXOS006H p. 10)"
    ),
)
def smallest_fuse(load: Value, share: Value, ambient_factor: Value) -> Value:
    """Smallest fuse rating that carries a load lastingly.

    Parameters
    ----------
    load : I [A]
        Lasting load current.
    share : s [-]
        Share of its rating a fuse may carry lastingly at 25 °C, 0.75 or 0.70.
    ambient_factor : f [-]
        Share left at the holder's ambient, 1 at 25 °C.

    Returns
    -------
    Iᵣ [A]
        Smallest rating; the next printed rating UP is fitted.

    Notes
    -----
    A maker's table of allowed loads over ambient already holds its margin: with it the share is 1, or the derating
    counts twice.

    Examples
    --------
    >>> round(smallest_fuse(1.5, 0.70, 0.95), 4)
    2.2556
    """
    return load / (share * ambient_factor)


@formula("I = Iᵣ · s · f", cite="fuse selection rule, solved for the load (see smallest_fuse)")
def allowed_load(rating: Value, share: Value, ambient_factor: Value) -> Value:
    """Largest lasting load of a fuse.

    Parameters
    ----------
    rating : Iᵣ [A]
        Rating of the fuse.
    share : s [-]
        Share of its rating a fuse may carry lastingly at 25 °C.
    ambient_factor : f [-]
        Share left at the holder's ambient.

    Returns
    -------
    I [A]
        Largest lasting load.

    Notes
    -----
    The rule of `smallest_fuse` the other way round. A body-builder manual of 2015 prints 150 A and 105 A, 0.70.

    Examples
    --------
    >>> round(allowed_load(150.0, 0.70, 1.0), 6)
    105.0
    """
    return rating * share * ambient_factor


@formula("s = I / Iᵣ", cite="definition")
def load_share(load: Value, rating: Value) -> Value:
    """How much of its rating a fuse carries.

    Parameters
    ----------
    load : I [A]
        Load current.
    rating : Iᵣ [A]
        Rating of the fuse.

    Returns
    -------
    s [-]
        Share of the rating in use.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> load_share(11.0, 20.0)
    0.55
    """
    return load / rating


@formula("m = Iₘ / I₀", cite="definition")
def share_left(ampacity: Value, printed: Value) -> Value:
    """Share of a printed current that ambient and neighbours leave.

    Parameters
    ----------
    ampacity : Iₘ [A]
        Permitted current of the wire where it lies.
    printed : I₀ [A]
        Printed current.

    Returns
    -------
    m [-]
        What is left, 1 for all.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> share_left(16.0, 32.0)
    0.5
    """
    return ampacity / printed


@formula("I = m · Iᵣ", cite="definition of the test multiples in ISO 8820, DIN 72581-3")
def opening_current(rating: Value, multiple: Value) -> Value:
    """Current at a test point of the time-current table.

    Parameters
    ----------
    rating : Iᵣ [A]
        Rating of the fuse.
    multiple : m [-]
        Multiple of the rating, 1.35, 2, 3.5 or 6.

    Returns
    -------
    I [A]
        Current of that test point.

    Notes
    -----
    DIN 72581-3 prints its products rounded to the whole ampere.

    Examples
    --------
    >>> round(opening_current(60.0, 1.35), 6)
    81.0
    """
    return multiple * rating


@formula("ΔU = I · R · h", cite="Ohm's law with the hot resistance")
def fuse_loss(current_a: Value, cold_resistance_ohm: Value, hot_factor: Value) -> Value:
    """Voltage a fuse drops.

    Parameters
    ----------
    current_a : I [A]
        Current.
    cold_resistance_ohm : R [ohm]
        Printed cold resistance.
    hot_factor : h [-]
        Hot over cold resistance at that current, 1.29 to 1.67 at rated current.

    Returns
    -------
    ΔU [V]
        Voltage lost in the fuse.

    Notes
    -----
    Hot over cold is printed drop / (rating × cold resistance): MINI 297 sheet, ten rows, 1.29 to 1.66.

    Examples
    --------
    >>> round(fuse_loss(10.0, 0.00742, 1.46), 3)
    0.108
    """
    return current_a * cold_resistance_ohm * hot_factor


@formula("P = I · ΔU", cite="definition of power")
def fuse_power(current_a: Value, drop_v: Value) -> Value:
    """Heat a fuse makes.

    Parameters
    ----------
    current_a : I [A]
        Current.
    drop_v : ΔU [V]
        Voltage across the fuse.

    Returns
    -------
    P [W]
        Heat made in the holder.

    Notes
    -----
    Definition.

    Examples
    --------
    >>> round(fuse_power(10.0, 0.108), 2)
    1.08
    """
    return current_a * drop_v


@formula("Iᵣ = m · Iₘ", cite="33 CFR 183.455 (multiple 1.5 below 50 V); multiple 1 by the usual rule")
def largest_fuse(ampacity: Value, multiple: Value) -> Value:
    """Largest fuse that still guards a wire.

    Parameters
    ----------
    ampacity : Iₘ [A]
        Permitted current of the thinnest wire behind the fuse, derated.
    multiple : m [-]
        1, or 1.5 in small craft below 50 V.

    Returns
    -------
    Iᵣ [A]
        Largest rating; the next printed rating DOWN is fitted.

    Notes
    -----
    33 CFR 183.455 for 1.5; AC 43.13-1B par. 11-47 wants the device to open before the wire's rating is passed.

    Examples
    --------
    >>> largest_fuse(25.0, 1.5)
    37.5
    """
    return multiple * ampacity


@formula("Eₘ = E / p", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 2")
def pulse_requirement(pulse_a2s: Value, fraction: Value) -> Value:
    """Melting energy a fuse needs to bear a pulse many times.

    Parameters
    ----------
    pulse_a2s : E [A²·s]
        Let-through energy of one pulse.
    fraction : p [-]
        Share of the melting energy one of so many pulses may have: 0.22 for 100,000, 0.48 for 100.

    Returns
    -------
    Eₘ [A²·s]
        Melting energy (nominal) the fuse must have.

    Notes
    -----
    The chart is for electronic fuses, with 10 s between pulses; another maker allows 0.35 for 100,000 pulses.

    Examples
    --------
    >>> round(pulse_requirement(60.0, 0.35), 1)
    171.4
    """
    return pulse_a2s / fraction


@formula("I = ΔU / R", cite="Ohm's law")
def current_through_fuse(drop_v: Value, resistance_ohm: Value) -> Value:
    """Current from the millivolts across a fuse.

    Parameters
    ----------
    drop_v : ΔU [V]
        Measured across the fuse.
    resistance_ohm : R [ohm]
        Resistance of the fuse.

    Returns
    -------
    I [A]
        Current that flows.

    Notes
    -----
    The resistance varies by about 15 % between makers, so does the answer.

    Examples
    --------
    >>> round(current_through_fuse(0.001, 0.0077), 2)
    0.13
    """
    return drop_v / resistance_ohm


@formula("I = U / R", cite="Ohm's law")
def fault_current(voltage_v: Value, loop_resistance_ohm: Value) -> Value:
    """Short-circuit current at the end of a loop.

    Parameters
    ----------
    voltage_v : U [V]
        Open-circuit voltage of the source.
    loop_resistance_ohm : R [ohm]
        Whole loop: source, fuses, supply lead, earth return.

    Returns
    -------
    I [A]
        Current into a dead short at that place.

    Notes
    -----
    Ohm's law; the loop hot for the smallest fault current, cold for the largest.

    Examples
    --------
    >>> fault_current(12.5, 0.05)
    250.0
    """
    return voltage_v / loop_resistance_ohm
