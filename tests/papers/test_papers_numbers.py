"""Figures as text. Rounding away from danger is a law here, held with hypothesis; spellings are our own."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fuseplan.quantities import writing
from fuseplan.quantities.decimals import rounded

UNITS = ("A", "V", "ohm", "°C", "m", "mm", "r/min", "W", "Ah", "s", "min", "h", "days", "A²s", "share", "fine share",
         "small V", "fuse A", "factor", "AWG", "")
FIGURES = st.floats(min_value=-1e7, max_value=1e7, allow_nan=False)
SIZES = st.floats(min_value=1e-6, max_value=1e7, allow_nan=False)
SIDES = st.sampled_from(("burden", "limit"))


def _read(text: str, unit: str) -> float:
    """A figure as a reader takes it, in the unit it was given in."""
    number, _, words = text.replace("−", "-").partition(" ")
    value = float(number)
    if "share" in unit:
        return value / 100.0
    if unit == "days" and words == "h":
        return value / 24.0
    return value / 1000.0 if words in ("mA", "mΩ", "mV") or (words == "mm" and unit == "m") else value


def _noise(value: float) -> float:
    return abs(value) * 2e-9 + 1e-9


@pytest.mark.parametrize(("text", "wanted"), [
    (writing.burden(38.4, "A"), "38.4 A"), (writing.burden(38.41, "A"), "38.5 A"),
    (writing.limit(38.49, "A"), "38.4 A"), (writing.limit(27.08, "A"), "27.0 A"), (writing.burden(0.35, "A"), "0.35 A"),
    (writing.burden(0.006, "A"), "6 mA"),
    (writing.limit(5.0, "s"), "5 s"), (writing.limit(60.0, "Ah"), "60 Ah"), (writing.burden(0.0, "ohm"), "0 mΩ"),
    (writing.burden(0.012, "A"), "12 mA"), (writing.burden(0.0051, "A"), "5.1 mA"), (writing.burden(0.0, "A"), "0 A"),
    (writing.burden(-0.0, "A"), "0 A"), (writing.burden(212.3, "A"), "213 A"), (writing.limit(40.0, "A"), "40 A"),
    (writing.burden(None, "A"), "?"), (writing.limit(math.nan, "A"), "?"), (writing.burden(math.inf, "V"), "?"),
    (writing.limit(13.416, "V"), "13.41 V"), (writing.burden(0.306, "V"), "0.31 V"),
    (writing.drop(0.306, 0.5), "0.31/0.50 V"), (writing.drop(0.306, None), "0.31 V"),
    (writing.drop(0.4985, 0.4987), "0.4985/0.4987 V"),
    (writing.fuse_range(9.8, 20.4), "9.8–20.4"), (writing.fuse_range(9.81, 20.49), "9.9–20.4"),
    (writing.fuse_range(0.0089, 20.0), "0.1–20"), (writing.fuse_range(None, 20.4), "?–20.4"),
    (writing.fuse_range(None, None), "?"),
    (writing.stated(2.5, "mm2"), "2.5 mm²"), (writing.limit(1.30876, "mm²"), "1.308 mm²"),
    (writing.limit(0.35, "mm2"), "0.35 mm²"), (writing.burden(16.2, "mm²"), "16.2 mm²"),
    (writing.rating(7.5), "7.5 A"), (writing.rating(15.0), "15 A"), (writing.rating(0.05), "0.05 A"),
    (writing.stated(0.8, "share"), "80 %"), (writing.stated(0.625, "share"), "62.5 %"), (writing.stated(2.0), "2"),
    (writing.stated(0.00002, "V"), "0.00002 V"), (writing.stated(12e15, "A"), "12000000000000000 A"),
    (writing.balance(12.34, "A"), "+12.3 A"), (writing.balance(-0.02, "A"), "−20 mA"),
    (writing.balance(-0.0061, "A"), "−6.1 mA"), (writing.balance(-4.01, "A"), "−4.1 A"),
    (writing.balance(-224.6, "A"), "−225 A"), (writing.balance(0.0, "A"), "0 A"), (writing.balance(-0.0, "A"), "0 A"),
    (writing.burden(0.0032, "ohm"), "3.2 mΩ"), (writing.burden(90.04, "ohm"), "90.1 Ω"),
    (writing.burden(1.601, "m"), "1.61 m"),
    (writing.limit(0.178, "m"), "178 mm"), (writing.burden(84.2, "degC"), "85 °C"),
    (writing.burden(-20.5, "°C"), "−20 °C"),
    (writing.burden(0.961, "share"), "97 %"), (writing.EARTH_DROP(0.1281), "129 mV"),
    (writing.bare(0.0123, "A", "burden"), "0.02"), (writing.lasting(2940.0), "49 min"),
    (writing.lasting(12300.0), "3.4 h"), (writing.lasting(math.inf), "–"), (writing.lasting(math.nan), "?"),
    (writing.limit(0.021, "days"), "0.5 h"), (writing.limit(1.99, "days"), "47.7 h"),
    (writing.limit(2.0, "d"), "2.0 d"), (writing.bare(0.5, "days", "limit"), "0.5"),
    (writing.whole(10000), "10 000"),
])
def test_spelling(text, wanted):
    assert text == wanted


@pytest.mark.parametrize("unit", UNITS)
@given(value=FIGURES)
def test_a_burden_never_reads_smaller_and_a_limit_never_larger(unit, value):
    assert _read(writing.burden(value, unit), unit) >= value - _noise(value)
    assert _read(writing.limit(value, unit), unit) <= value + _noise(value)
    assert _read(writing.stated(value, unit), unit) == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.one_in(4, first=3)
@pytest.mark.parametrize("unit", UNITS)
@given(one=FIGURES, more=SIZES, side=SIDES)
def test_a_greater_figure_never_reads_smaller(unit, one, more, side):
    smaller, greater = (_read(writing.written(value, unit, side), unit) for value in (one, one + more))
    assert smaller <= greater + _noise(one + more)


@given(st.floats(-1e300, 1e300) | st.sampled_from((math.nan, math.inf, -math.inf)),
       st.sampled_from((*UNITS, "mm²")), st.sampled_from(("burden", "limit", "stated")))
@example(-0.0, "V", "burden")
@example(-0.001, "V", "burden")
@example(-1e-12, "A", "stated")
def test_whatever_comes_is_a_plain_number_or_unknown(value, unit, side):
    text = writing.written(value, unit, side)
    if not math.isfinite(value):
        assert text == writing.UNKNOWN
        return
    number = text.partition(" ")[0]
    assert not any(mark in number for mark in ("e", "n", "-"))
    assert not (number.startswith("−") and float(number[1:]) == 0.0)
    assert number.lstrip("−").replace(".", "", 1).isdigit()


@given(SIZES, st.sampled_from((0.0, 1e-6, 1e-4, 0.003, 0.2)), st.sampled_from(UNITS))
def test_a_figure_and_its_limit_stand_in_their_order_and_never_read_alike_when_they_differ(value, apart, unit):
    other = value * (1.0 + apart)
    over, allowed = (_read(text, unit) for text in writing.against(other, value, unit))
    assert over > allowed if apart else over == pytest.approx(allowed, rel=1e-8, abs=1e-9)
    within, allowed = (_read(text, unit) for text in writing.against(value, other, unit))
    assert within < allowed if apart else within == pytest.approx(allowed, rel=1e-8, abs=1e-9)
    assert writing.judged(value, other, unit, "limit") == writing.against(other, value, unit)[::-1]
    assert writing.judged(value, other, unit, "burden") == writing.against(value, other, unit)


@given(SIZES, SIZES)
def test_a_window_is_never_shown_wider_than_it_is(low, high):
    shown_low, shown_high = writing.fuse_range(low, high).split("–")
    assert float(shown_low) >= low - _noise(low)
    assert float(shown_high) <= high + _noise(high)


@given(FIGURES, st.integers(0, 4))
def test_rounding_moves_less_than_one_unit_of_the_last_place(value, places):
    step = 10.0**-places
    for side in ("burden", "limit", "stated"):
        assert abs(rounded(value, places, side) - value) <= step * (1 + 1e-6) + abs(value) * 1e-8


@pytest.mark.parametrize("value", [0.1, 0.7, 1.1, 2.2, 9.8, 20.4, 41.0, 63.1])
def test_a_figure_of_one_decimal_is_not_pushed_on_by_float_noise(value):
    assert rounded(value, 1, "burden") == rounded(value, 1, "limit") == value


@pytest.mark.parametrize(("load", "allowed", "unit", "texts"), [
    (0.2, 0.177, "m", ("200 mm", "177 mm")), (0.05, 0.12, "A", ("50 mA", "120 mA")),
    (0.95, 1.4, "ohm", ("950 mΩ", "1400 mΩ")), (0.05, 30.0, "A", ("50 mA", "30 A")),
    (0.19, 5.0, "m", ("190 mm", "5.00 m")), (0.3, 0.5, "V", ("0.30 V", "0.50 V")),
    (14.0, 0.08, "d", ("14.0 d", "1.9 h")), (3.0, 1.5, "d", ("72.0 h", "36.0 h")),
])
def test_two_figures_of_like_size_stand_in_one_unit(load: float, allowed: float, unit: str,
                                                    texts: tuple[str, str]) -> None:
    assert writing.against(load, allowed, unit) == texts
    assert writing.judged(allowed, load, unit, "limit") == writing.against(load, allowed, unit)[::-1]
