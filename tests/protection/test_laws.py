"""Laws that hold whatever the figures: of fault currents, opening times and wires in a fault."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fuseplan.engine.clearing import greatest_time_s, least_time_s
from fuseplan.engine.stock import ladder
from fuseplan.tables import fuses
from tests.protection.small import assessed

SIZES = ("0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2")
LENGTHS = st.floats(0.3, 40.0)
RATINGS = st.sampled_from((5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0))
KINDS = st.sampled_from(("mini", "blade"))
# Ratings of one type to which the same printed rows apply: between others the documents differ, not the fuses.
ALIKE = [("mini", 2.0, 30.0), ("blade", 1.0, 2.0), ("blade", 3.0, 30.0), ("blade", 35.0, 40.0),
         ("maxi", 20.0, 80.0), ("micro2", 5.0, 30.0), ("glass", 1.0, 10.0)]


@settings(max_examples=40, deadline=None)
@given(length=LENGTHS, more=st.floats(0.0, 20.0), size=st.sampled_from(SIZES), rating=RATINGS, kind=KINDS)
def test_a_longer_wire_never_raises_the_fault_current(length, more, size, rating, kind):
    short = assessed(kind=kind, rating=f"{rating} A", size=size, length=f"{length} m").circuit("lamp").fault
    long = assessed(kind=kind, rating=f"{rating} A", size=size, length=f"{length + more} m").circuit("lamp").fault
    assert long.far_end_a <= short.far_end_a * (1 + 1e-9)
    assert long.clearing_s >= short.clearing_s * (1 - 1e-9)
    assert long.prospective_a == pytest.approx(short.prospective_a)


@settings(max_examples=200, deadline=None)
@given(alike=st.sampled_from(ALIKE), current=st.floats(1.0, 2000.0), data=st.data())
def test_a_bigger_fuse_never_opens_sooner(alike, current, data):
    kind, low, high = alike
    ratings = [rating for rating in ladder(kind) if low <= rating <= high]
    smaller, bigger = sorted(data.draw(st.tuples(st.sampled_from(ratings), st.sampled_from(ratings))))
    at = np.array([current])
    times = greatest_time_s(kind, bigger, at)[0], greatest_time_s(kind, smaller, at)[0]
    if not np.isnan(times).any():
        assert times[0] >= times[1] * (1 - 1e-6)
    least = least_time_s(kind, smaller, at)[0], least_time_s(kind, bigger, at)[0]
    if not np.isnan(least[0]):
        assert least[1] >= least[0] * (1 - 1e-6)


@settings(max_examples=40, deadline=None)
@given(length=st.floats(0.3, 8.0), thin=st.integers(0, len(SIZES) - 2), step=st.integers(1, 3), rating=RATINGS,
       kind=KINDS)
def test_a_thicker_wire_never_survives_less(length, thin, step, rating, kind):
    # Where the fuse opens in time. Where it does not, a thicker wire may well end hotter: it lets more current flow.
    sizes = SIZES[thin], SIZES[min(thin + step, len(SIZES) - 1)]
    first, second = (assessed(kind=kind, rating=f"{rating} A", size=size, length=f"{length} m").circuit("lamp")
                     for size in sizes)
    assume(first.fault.clearing_s <= 5.0)
    assert second.fault.clearing_s <= first.fault.clearing_s * (1 + 1e-9)
    assert second.segments[0].fault_a >= first.segments[0].fault_a * (1 - 1e-9)
    assert second.segments[0].fault_temperature_c <= first.segments[0].fault_temperature_c * (1 + 1e-9)
    if first.fault.wire_survives:
        assert second.fault.wire_survives is True


@settings(max_examples=60, deadline=None)
@given(current=st.floats(5.0, 3000.0), more=st.floats(1.0, 5.0),
       kind=st.sampled_from(("mini", "blade", "maxi", "glass")), data=st.data())
def test_more_current_never_takes_longer(current, more, kind, data):
    rating = data.draw(st.sampled_from(fuses.ratings(kind).value))
    times = greatest_time_s(kind, rating, np.array([current, current * more]))
    if not np.isnan(times).any():
        assert times[1] <= times[0] * (1 + 1e-6)
