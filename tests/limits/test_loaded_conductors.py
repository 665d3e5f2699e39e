"""Which conductors of a bunch count: BS 7671, clause 523.5 (the national IEC 60364-5-52), second-hand from notes that
quote it: one that carries no more than 30 % of its current-carrying capacity in the group may be left out.

The factors are those of DIN VDE 0298-4, table 21, bunched: 0.57 for six, 0.80 for two, 0.38 for twenty.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.engine.neighbours import loaded_beside
from fuseplan.limits import limit_set

ROAD = limit_set("road")


def counts(*shares: float) -> list[int]:
    """How many count in one bunch of conductors of 10 A each that carry these shares of it, beside each."""
    current = np.array([shares]) * 10
    loaded, shared = loaded_beside(current, np.full(len(shares), 10.0), np.zeros(len(shares), dtype=np.int64), 1, ROAD)
    assert (shared == loaded.sum()).all()
    return loaded[0].astype(int).tolist()


@pytest.mark.parametrize(("light", "are_counted"), [(0.18, True), (0.16, False)])
def test_the_share_is_of_the_capacity_in_the_group(light: float, are_counted: bool) -> None:
    """Beside one fully loaded conductor, five lie on either side of 0.3 times 0.57, the factor of six."""
    assert counts(1.0, *[light] * 5) == [1, *[int(are_counted)] * 5]


def test_many_lightly_loaded_ones_count_together() -> None:
    """Twenty with 26 % of what each may alone have 68 % of what they may together."""
    assert sum(counts(*[0.26] * 20)) == 20


def test_those_that_drop_out_let_others_drop_out() -> None:
    """0.22 is more than 0.3 times 0.57 beside five, and less than 0.3 times 0.80 beside one."""
    assert counts(1.0, 0.22, 0.1, 0.1, 0.1, 0.1) == [1, 0, 0, 0, 0, 0]


@given(st.lists(st.floats(0, 1.5), min_size=1, max_size=25))
def test_what_is_left_out_is_no_more_than_the_share_and_what_counts_is_more(shares: list[float]) -> None:
    found = np.array(counts(*shares), dtype=bool)
    factor = float(np.asarray(ROAD.group_factor(np.array([max(1, found.sum())])))[0])
    assert ((np.array(shares) > 0.3 * factor) | ~found).all()
    assert (np.array(shares)[~found] <= 0.3 * factor + 1e-12).all()
