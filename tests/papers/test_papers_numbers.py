"""Figures as text. Rounding away from danger is a law here, held with hypothesis; spellings are our own."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.quantities import writing

SIZES = st.floats(min_value=1e-3, max_value=1e5, allow_nan=False)


def _read(text: str) -> float:
    """A figure as a reader takes it, milli units included."""
    value, _, unit = text.replace("−", "-").partition(" ")
    return float(value) / (1000.0 if unit.startswith("m") and len(unit) > 1 else 1.0)


@pytest.mark.parametrize(("text", "wanted"), [
    (writing.amps(38.4), "38.4 A"), (writing.amps(38.41), "38.5 A"), (writing.amps(38.41, "down"), "38.4 A"),
    (writing.amps(0.35), "0.35 A"), (writing.amps(0.012), "12 mA"), (writing.amps(0.0051), "5.1 mA"),
    (writing.amps(0.0), "0 A"), (writing.amps(212.3), "213 A"),
    (writing.amps(None), "?"), (writing.amps(math.nan), "?"),
    (writing.volts(13.416), "13.42 V"), (writing.drop(0.306, 0.5), "0.31/0.50 V"),
    (writing.drop(0.306, None), "0.31 V"),
    (writing.window(9.8, 20.4), "9.8–20.4"), (writing.window(9.81, 20.49), "9.9–20.4"),
    (writing.window(None, 20.4), "?–20.4"),
    (writing.window(None, None), "?"), (writing.square_mm(2.5), "2.5 mm²"), (writing.square_mm(0.35), "0.35 mm²"),
    (writing.rating(7.5), "7.5 A"), (writing.rating(15.0), "15 A"), (writing.signed_amps(12.34), "+12.3 A"),
    (writing.signed_amps(-0.02), "−20 mA"), (writing.signed_amps(-0.0061), "−6.1 mA"),
    (writing.signed_amps(-4.01), "−4.1 A"), (writing.signed_amps(0.0), "0.0 A"), (writing.signed_amps(-0.0), "0.0 A"),
    (writing.ohms(0.0032), "3.2 mΩ"), (writing.ohms(90.0), "90.0 Ω"), (writing.metres(1.601), "1.61 m"),
    (writing.celsius(84.2), "85 °C"), (writing.percent(0.961), "97 %"), (writing.plain(57.0201, "A"), "57.02 A"),
    (writing.plain(0.5, "mm2"), "0.5 mm²"),
])
def test_spelling(text, wanted):
    assert text == wanted


@given(SIZES)
def test_a_burden_never_reads_smaller_and_a_limit_never_larger(value):
    tiny = value * 1e-8 + 1e-12
    assert _read(writing.amps(value)) >= value - tiny
    assert _read(writing.amps(value, "down")) <= value + tiny
    assert _read(writing.drop(value, None)) >= value - tiny
    assert _read(writing.metres(value)) >= value - tiny
    assert _read(writing.signed_amps(value)) <= value + tiny
    assert _read(writing.signed_amps(-value)) <= -value + tiny


@given(SIZES, SIZES)
def test_a_window_is_never_shown_wider_than_it_is(low, high):
    shown_low, shown_high = writing.window(low, high).split("–")
    assert float(shown_low) >= low * (1 - 1e-8)
    assert float(shown_high) <= high * (1 + 1e-8)


@given(st.floats(min_value=-1e6, max_value=1e6, allow_nan=False), st.integers(0, 4))
def test_rounding_moves_less_than_one_unit_of_the_last_place(value, places):
    step = 10.0**-places
    for towards in ("nearest", "up", "down"):
        assert abs(writing.rounded(value, places, towards) - value) <= step * (1 + 1e-6) + abs(value) * 1e-8


@pytest.mark.parametrize("value", [0.1, 0.7, 1.1, 2.2, 9.8, 20.4, 41.0, 63.1])
def test_a_figure_of_one_decimal_is_not_pushed_on_by_float_noise(value):
    assert writing.rounded(value, 1, "up") == writing.rounded(value, 1, "down") == value
