"""Distinct numbers are those numpy finds."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.tables.distinct import distinct


@given(st.lists(st.sampled_from([-1.5, 0.0, 0.1, 2.0, 2.0000001, np.inf])))
def test_the_distinct_numbers_are_those_numpy_finds(values: list[float]) -> None:
    assert distinct(np.array(values)).tolist() == np.unique(np.array(values)).tolist()
