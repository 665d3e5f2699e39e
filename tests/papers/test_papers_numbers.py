"""Figures as text. Rounding away from danger is a law here, held with hypothesis; spellings are our own."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.papers import numbers

SIZES = st.floats(min_value=1e-3, max_value=1e5, allow_nan=False)


def _read(text: str) -> float:
    """A figure as a reader takes it, milli units included."""
    value, _, unit = text.replace("−", "-").partition(" ")
    return float(value) / (1000.0 if unit.startswith("m") and len(unit) > 1 else 1.0)


@pytest.mark.parametrize(("text", "wanted"), [
    (numbers.amps(38.4), "38.4 A"), (numbers.amps(38.41), "38.5 A"), (numbers.amps(38.41, "down"), "38.4 A"),
    (numbers.amps(0.35), "0.35 A"), (numbers.amps(0.012), "12 mA"), (numbers.amps(0.0051), "5.1 mA"),
    (numbers.amps(0.0), "0 A"), (numbers.amps(212.3), "213 A"),
    (numbers.amps(None), "?"), (numbers.amps(math.nan), "?"),
    (numbers.volts(13.416), "13.42 V"), (numbers.drop(0.306, 0.5), "0.31/0.50 V"),
    (numbers.drop(0.306, None), "0.31 V"),
    (numbers.window(9.8, 20.4), "9.8–20.4"), (numbers.window(9.81, 20.49), "9.9–20.4"),
    (numbers.window(None, 20.4), "?–20.4"),
    (numbers.window(None, None), "?"), (numbers.square_mm(2.5), "2.5 mm²"), (numbers.square_mm(0.35), "0.35 mm²"),
    (numbers.rating(7.5), "7.5 A"), (numbers.rating(15.0), "15 A"), (numbers.signed_amps(12.34), "+12.3 A"),
    (numbers.signed_amps(-0.02), "−20 mA"), (numbers.signed_amps(-0.0061), "−6.1 mA"),
    (numbers.signed_amps(-4.01), "−4.1 A"), (numbers.signed_amps(0.0), "0.0 A"), (numbers.signed_amps(-0.0), "0.0 A"),
    (numbers.ohms(0.0032), "3.2 mΩ"), (numbers.ohms(90.0), "90.0 Ω"), (numbers.metres(1.601), "1.61 m"),
    (numbers.celsius(84.2), "85 °C"), (numbers.percent(0.961), "97 %"), (numbers.plain(57.0201, "A"), "57.02 A"),
    (numbers.plain(0.5, "mm2"), "0.5 mm²"),
])
def test_spelling(text, wanted):
    assert text == wanted


@given(SIZES)
def test_a_burden_never_reads_smaller_and_a_limit_never_larger(value):
    tiny = value * 1e-8 + 1e-12
    assert _read(numbers.amps(value)) >= value - tiny
    assert _read(numbers.amps(value, "down")) <= value + tiny
    assert _read(numbers.drop(value, None)) >= value - tiny
    assert _read(numbers.metres(value)) >= value - tiny
    assert _read(numbers.signed_amps(value)) <= value + tiny
    assert _read(numbers.signed_amps(-value)) <= -value + tiny


@given(SIZES, SIZES)
def test_a_window_is_never_shown_wider_than_it_is(low, high):
    shown_low, shown_high = numbers.window(low, high).split("–")
    assert float(shown_low) >= low * (1 - 1e-8)
    assert float(shown_high) <= high * (1 + 1e-8)


@given(st.floats(min_value=-1e6, max_value=1e6, allow_nan=False), st.integers(0, 4))
def test_rounding_moves_less_than_one_unit_of_the_last_place(value, places):
    step = 10.0**-places
    for towards in ("nearest", "up", "down"):
        assert abs(numbers.rounded(value, places, towards) - value) <= step * (1 + 1e-6) + abs(value) * 1e-8


@pytest.mark.parametrize("value", [0.1, 0.7, 1.1, 2.2, 9.8, 20.4, 41.0, 63.1])
def test_a_figure_of_one_decimal_is_not_pushed_on_by_float_noise(value):
    assert numbers.rounded(value, 1, "up") == numbers.rounded(value, 1, "down") == value
