"""Pulses: the heat per ohm of a current that does not last, as fuse makers reckon it."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("E = I² · t", cite="definition of let-through energy")
def let_through(current_a: Value, time_s: Value) -> Value:
    """Heat per ohm of a constant current.

    Parameters
    ----------
    current_a : I [A]
        Current, constant.
    time_s : t [s]
        Duration.

    Returns
    -------
    E [A²·s]
        Let-through energy, I²t.

    Notes
    -----
    Definition; a rectangular pulse in the pulse charts of fuse makers.

    Examples
    --------
    >>> round(let_through(4800.0, 0.020))
    460800
    """
    return current_a**2 * time_s


@formula("E = (Iₚ² + Iₚ · Iₛ + Iₛ²) · t / 3", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 1")
def ramp_energy(start_a: Value, peak_a: Value, time_s: Value) -> Value:
    """Heat per ohm of a current that changes in a straight line.

    Parameters
    ----------
    start_a : Iₛ [A]
        Current at the start.
    peak_a : Iₚ [A]
        Current at the end.
    time_s : t [s]
        Duration.

    Returns
    -------
    E [A²·s]
        Let-through energy of the pulse.

    Notes
    -----
    Littelfuse catalogue p. 12, chart 1; the integral of the wave.

    Examples
    --------
    >>> ramp_energy(0.0, 30.0, 0.01)
    3.0
    """
    return (peak_a**2 + peak_a * start_a + start_a**2) * time_s / 3


@formula("E = Iₚ² · t / 2", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 1")
def half_sine_energy(peak_a: Value, time_s: Value) -> Value:
    """Heat per ohm of half a sine wave.

    Parameters
    ----------
    peak_a : Iₚ [A]
        Peak.
    time_s : t [s]
        Duration of the half wave.

    Returns
    -------
    E [A²·s]
        Let-through energy of the pulse.

    Notes
    -----
    Littelfuse catalogue p. 12, chart 1; the integral of the wave.

    Examples
    --------
    >>> half_sine_energy(20.0, 0.01)
    2.0
    """
    return peak_a**2 * time_s / 2


@formula("E = Iₚ² · t / 3", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 1")
def triangle_energy(peak_a: Value, time_s: Value) -> Value:
    """Heat per ohm of a pulse that rises to or falls from its peak in a straight line.

    Parameters
    ----------
    peak_a : Iₚ [A]
        Peak.
    time_s : t [s]
        Duration.

    Returns
    -------
    E [A²·s]
        Let-through energy of the pulse.

    Notes
    -----
    Littelfuse catalogue p. 12, chart 1; the integral of the wave.

    Examples
    --------
    >>> triangle_energy(30.0, 0.01)
    3.0
    """
    return peak_a**2 * time_s / 3


@formula("E = Iₚ² · t / 5", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 1")
def parabola_energy(peak_a: Value, time_s: Value) -> Value:
    """Heat per ohm of a pulse that follows a parabola, i = Iₚ·(1 - t)².

    Parameters
    ----------
    peak_a : Iₚ [A]
        Peak.
    time_s : t [s]
        Duration.

    Returns
    -------
    E [A²·s]
        Let-through energy of the pulse.

    Notes
    -----
    Littelfuse catalogue p. 12, chart 1; the integral of the wave.

    Examples
    --------
    >>> round(parabola_energy(8.0, 0.004), 4)
    0.0512
    """
    return peak_a**2 * time_s / 5


@formula(
    "E = Iₚ² · τ / 2",
    cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 1 (time constant as duration: from memory)",
)
def exponential_energy(peak_a: Value, time_constant_s: Value) -> Value:
    """Heat per ohm of a current that dies away exponentially.

    Parameters
    ----------
    peak_a : Iₚ [A]
        Peak.
    time_constant_s : τ [s]
        Time in which the current falls to 37 %.

    Returns
    -------
    E [A²·s]
        Let-through energy of the pulse.

    Notes
    -----
    Littelfuse catalogue p. 12, chart 1; the integral of the wave to its end.

    Examples
    --------
    >>> exponential_energy(20.0, 0.01)
    2.0
    """
    return peak_a**2 * time_constant_s / 2


@formula("W = E · R", cite="definition of let-through energy")
def dissipated_energy(let_through_a2s: Value, resistance_ohm: Value) -> Value:
    """Heat a let-through energy leaves in a resistance.

    Parameters
    ----------
    let_through_a2s : E [A²·s]
        Let-through energy.
    resistance_ohm : R [ohm]
        Resistance it passes.

    Returns
    -------
    W [J]
        Heat left in that resistance.

    Notes
    -----
    Definition. In base units A²·s·ohm is the joule.

    Examples
    --------
    >>> round(dissipated_energy(460800.0, 0.01))
    4608
    """
    return let_through_a2s * resistance_ohm
