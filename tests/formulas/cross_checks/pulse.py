"""Formulas the program does not use, which printed answers and other formulas are held against: pulse."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("E = Iₚ² · t / 5", cite="Littelfuse fuse catalogue, rev. 03/03/17, p. 12 chart 1")
def parabola_energy(peak_a: Value, time_s: Value) -> Value:
    """Heat per ohm of a pulse that follows a parabola, i = Iₚ·(1 - t)².

    Args:
        peak_a: Iₚ [A]. Peak.
        time_s: t [s]. Duration.
    Returns:
        E [A²·s]. Let-through energy of the pulse.

    Littelfuse catalogue p. 12, chart 1; the integral of the wave.

    >>> round(parabola_energy(8.0, 0.004), 4)
    0.0512
    """
    return peak_a**2 * time_s / 5


@formula("W = E · R", cite="definition of let-through energy")
def dissipated_energy(let_through_a2s: Value, resistance_ohm: Value) -> Value:
    """Heat a let-through energy leaves in a resistance.

    Args:
        let_through_a2s: E [A²·s]. Let-through energy.
        resistance_ohm: R [ohm]. Resistance it passes.
    Returns:
        W [J]. Heat left in that resistance.

    Definition. In base units A²·s·ohm is the joule.

    >>> round(dissipated_energy(460800.0, 0.01))
    4608
    """
    return let_through_a2s * resistance_ohm


@formula("E = I² · t", cite="definition of let-through energy")
def let_through(current_a: Value, time_s: Value) -> Value:
    """Heat per ohm of a constant current.

    Args:
        current_a: I [A]. Current, constant.
        time_s: t [s]. Duration.
    Returns:
        E [A²·s]. Let-through energy, I²t.

    Definition; a rectangular pulse in the pulse charts of fuse makers.

    >>> round(let_through(4800.0, 0.020))
    460800
    """
    return current_a**2 * time_s
