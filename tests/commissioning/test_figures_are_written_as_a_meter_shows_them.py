"""What is expected at a meter is written in the digits that meter shows, and never wider than it is."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.bench.instruments import Instrument, instrument_for
from fuseplan.bench.meter_figures import about, at_least, at_most, band
from fuseplan.bench.points import SCALE
from fuseplan.bench.sheet import sheet_of
from fuseplan.checks.assessment import assess
from fuseplan.papers.bench_words import expected_words, limit_words
from fuseplan.planfile.read import read_plan

UNITS = ("V", "mV", "A", "mA", "ohm", "K")
_SIZES = {"V": 1.0, "mV": 1e-3, "A": 1.0, "mA": 1e-3, "K": 1.0, "Ω": 1.0, "kΩ": 1e3, "MΩ": 1e6}
_FIGURE = re.compile(r"(−?[\d.]+) (mV|mA|V|A|K|kΩ|MΩ|Ω|mΩ)\b")


def figures(text: str) -> list[float]:
    """The figures of a text, in V, A, ohm and K."""
    return [float(number.replace("−", "-")) * _SIZES[unit] for number, unit in _FIGURE.findall(text)]


def is_shown(value: float, meter: Instrument) -> bool:
    """Whether a meter can show a value on the smallest range that holds it."""
    digits = value / meter.range_for(value).digit
    return math.isclose(digits, round(digits), abs_tol=1e-6)


@pytest.mark.parametrize("name", ["coupe_turbo", pytest.param("van_24v", marks=pytest.mark.rest)])
def test_no_figure_of_the_sheet_has_more_digits_than_its_meter(name: str) -> None:
    plan = Path(__file__).parents[2] / "examples" / f"{name}.toml"
    seen = 0
    for section in sheet_of(assess(read_plan(plan))):
        for row in section.rows:
            for text in (expected_words(row.expected, row.point), limit_words(row.limit, row.point)):
                for value in figures(text) if row.expected.words != text else ():
                    seen += 1
                    assert is_shown(value, instrument_for(row.point.unit, value)), (row.point.address, text)
    assert seen > 200


values = st.floats(-900.0, 900.0).filter(lambda value: value == 0.0 or abs(value) > 1e-6)


@given(st.sampled_from(UNITS), values, values, values)
def test_a_bound_is_never_kinder_and_a_band_never_wider_than_it_is(unit: str, one: float, two: float, three: float
                                                                  ) -> None:
    low, value, high = sorted(each * SCALE[unit] for each in (one, two, three))
    noise = 1e-8 * max(abs(low), abs(high))
    (least,), (most,) = figures(at_least(low, unit)), figures(at_most(high, unit))
    assert least >= low - noise
    assert most <= high + noise
    assert least - low <= instrument_for(unit, low).range_for(low).digit + noise
    assert high - most <= instrument_for(unit, high).range_for(high).digit + noise
    middle, *ends = figures(band(value, low, high, unit))
    if ends:
        assert low - noise <= ends[0] <= middle + noise
        assert middle - noise <= ends[1] <= high + noise
    else:
        assert abs(middle - value) <= instrument_for(unit, value).range_for(value).digit + noise


@pytest.mark.parametrize(("value", "unit", "words"), [
    (5.207, "A", "5.21 A"), (53.34, "A", "53.3 A"), (0.6418, "A", "0.64 A"), (12.614, "V", "12.61 V"),
    (0.0002823, "mV", "0.3 mV"), (0.1396, "mA", "139.6 mA"), (0.0123, "ohm", "0 Ω"), (1820.4, "ohm", "1.82 kΩ"),
    (math.inf, "ohm", "open")])
def test_a_figure_has_the_digits_of_the_range_it_is_read_on(value: float, unit: str, words: str) -> None:
    assert about(value, unit) == words


def test_a_band_within_one_digit_is_no_band() -> None:
    assert band(0.00028, 0.00024, 0.00035, "mV") == "0.3 mV"
    assert band(0.0, None, 0.00004, "mV") == "0 mV"
    assert band(5.207, 4.361, 6.083, "A") == "5.21 A (4.37 A to 6.08 A)"


@given(st.floats(0.0005, 20.0), st.floats(0.3, 0.95), st.floats(1.05, 3.0))
def test_small_currents_are_written_in_milliamperes_and_a_band_in_one_unit(value: float, low: float, high: float
                                                                           ) -> None:
    text = band(value, value * low, value * high, "A")
    units = {unit for _, unit in _FIGURE.findall(text)}
    assert units == {"mA" if value < 0.1 else "A"}, text
    assert about(value, "mA") == about(value, "A") if value < 0.1 else about(value, "A").endswith(" A")
