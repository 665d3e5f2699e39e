"""Formulas the program does not use, which printed answers and other formulas are held against: battery."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("n = ln(t₂ / t₁) / ln(I₁ / I₂)", cite="Peukert's law, a battery monitor manual p. 8")
def peukert_exponent(i1: Value, t1: Value, i2: Value, t2: Value) -> Value:
    """Peukert exponent from two discharges.

    Args:
        i1: I₁ [A]. One discharge current.
        t1: t₁ [h]. Time it lasted.
        i2: I₂ [A]. Another discharge current.
        t2: t₂ [h]. Time that one lasted.
    Returns:
        n [-]. Peukert exponent.

    A battery monitor manual, p. 8: n = (log t2 - log t1) / (log I1 - log I2).

    >>> round(float(peukert_exponent(15.0, 5.0, 5.0, 20.0)), 2)
    1.26
    """
    return np.log(t2 / t1) / np.log(i1 / i2)


@formula("t = C₁ / I₁ · (I₁ / I)^n", cite="Peukert's law, one-ampere form, an electrical engineering article of 2010")
def peukert_one_ampere(peukert_capacity_ah: Value, current_a: Value, n: Value, unit_current_a: Value = 1.0) -> Value:
    """How long a battery lasts, from its capacity at one ampere.

    Args:
        peukert_capacity_ah: C₁ [Ah]. Capacity at ONE ampere, which is more than the 20 hour capacity.
        current_a: I [A]. Current drawn.
        n: n [-]. Peukert exponent.
        unit_current_a: I₁ [A]. One ampere.
    Returns:
        t [h]. Time to empty.

    Kept for its worked example. Mixing it with the rated capacity is a known error: 100 Ah, n 1.2, 5 A gives 14.5 h
    here, 20 h by `peukert_time`.

    >>> round(peukert_one_ampere(100.0, 5.0, 1.2), 1)
    14.5
    """
    return peukert_capacity_ah / unit_current_a * (unit_current_a / current_a) ** n
