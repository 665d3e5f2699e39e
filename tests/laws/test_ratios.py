"""Quotients with nothing, with what is not known and with what has no limit; copper that is gone."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fuseplan.engine.ratios import COPPER_MELTS_C, heated_c, ratio
from tests.formulas.cross_checks.adiabatic import adiabatic_temperature


@pytest.mark.parametrize(("over", "under", "found"), [
    (6.0, 3.0, 2.0), (0.0, 3.0, 0.0), (1.0, 0.0, math.inf), (0.0, 0.0, math.nan), (math.nan, 1.0, math.nan),
    (1.0, math.nan, math.nan), (1.0, math.inf, 0.0), (math.inf, 1.0, math.inf), (math.inf, math.inf, math.nan),
    (math.inf, 0.0, math.inf),
])
def test_a_quotient_never_hides_what_stands_over_nothing(over: float, under: float, found: float) -> None:
    assert ratio(over, under) == pytest.approx(found, nan_ok=True)
    assert ratio(np.full((2, 3), over), np.full(3, under)).shape == (2, 3)


def test_heat_warms_copper_by_the_formula_until_it_melts() -> None:
    start, area = np.array([20.0, 90.0, 300.0]), np.array([0.05, 1.5, 300.0])
    for per_mm4 in (0.0, 1.0, 1e4, 5e4):
        heat = per_mm4 * area**2
        by_formula = adiabatic_temperature(start, np.sqrt(heat), 1.0, area)
        assert heated_c(start, heat, area) == pytest.approx(np.minimum(by_formula, COPPER_MELTS_C))
    for heat in (1e12, 1e300, np.inf):
        assert (heated_c(start, np.full(3, heat), area) == COPPER_MELTS_C).all()
    assert np.isnan(heated_c(start, np.full(3, np.nan), area)).all()
