"""Reading what is typed as an amount: common spellings are read, what is refused says what is accepted.

The scale of a unit is held against pint; spellings are common practice, no source.
"""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from fuseplan.errors import AmountError
from fuseplan.quantities.amounts import (
    CHARGE,
    CURRENT,
    DIMENSIONS,
    LENGTH,
    POWER,
    RESISTANCE,
    SPEED,
    TEMPERATURE,
    TIME,
    VOLTAGE,
    VOLUME,
    Dimension,
    amount,
)
from fuseplan.quantities.offers import offers
from fuseplan.quantities.units import UNITS, registry, scale, spellings

PINT = {"µA": "microampere", "µohm": "microohm", "degC": "degC", "degF": "degF", "Ah": "ampere*hour",
        "mAh": "milliampere*hour", "r/min": "revolution/minute", "r/s": "revolution/second", "rad/s": "radian/second",
        "cm3": "cm**3", "in3": "in**3", "mm2": "mm**2", "cm2": "cm**2", "µs": "microsecond", "A h": "ampere*hour"}

READ: list[tuple[Dimension, str, float]] = [
    (CURRENT, "10 amps", 10), (CURRENT, "10Amp", 10), (CURRENT, "10 a", 10), (CURRENT, "350 MILLIAMPS", 0.35),
    (CURRENT, "5 ma", 0.005), (CURRENT, "10 A.", 10), (CURRENT, "10\u00a0A", 10), (CURRENT, "１０ Ａ", 10),
    (CURRENT, "12 µA", 12e-6), (CURRENT, "12 \u03bcA", 12e-6), (CURRENT, "12 uA", 12e-6),
    (VOLTAGE, "14V", 14), (VOLTAGE, "12 volts", 12), (VOLTAGE, "12 VDC", 12), (VOLTAGE, "13.8v", 13.8),
    (POWER, "55w", 55), (POWER, "55 Watts", 55), (POWER, "1.4KW", 1400),
    (RESISTANCE, "3 mOhm", 0.003), (RESISTANCE, "0.5ohm", 0.5), (RESISTANCE, "3 mΩ", 0.003),
    (RESISTANCE, "3 \u2126", 3), (RESISTANCE, "3 milliohms", 0.003), (RESISTANCE, "85 R", 85),
    (LENGTH, "12'", 3.6576), (LENGTH, "5ft 6in", 1.6764), (LENGTH, "5' 6\"", 1.6764), (LENGTH, "5’6”", 1.6764),
    (LENGTH, "1/2 in", 0.0127), (LENGTH, "1 1/2 in", 0.0381), (LENGTH, "1½ in", 0.0381), (LENGTH, "1-1/2\"", 0.0381),
    (LENGTH, "1.5 m.", 1.5), (LENGTH, "3 metres", 3), (LENGTH, "3 meters", 3), (LENGTH, "1 m 20 cm", 1.2),
    (TIME, "5 minutes", 300), (TIME, "10 mins", 600), (TIME, "30 sec.", 30), (TIME, "1 h 30 min", 5400),
    (TIME, "2 hrs", 7200), (TIME, "14 days", 1209600), (TIME, "100 msec", 0.1),
    (TEMPERATURE, "80 C", 80), (TEMPERATURE, "90C", 90), (TEMPERATURE, "194F", 90), (TEMPERATURE, "80 °C", 80),
    (TEMPERATURE, "80 ℃", 80), (TEMPERATURE, "−10 deg C", -10), (TEMPERATURE, "80 degrees celsius", 80),
    (CHARGE, "60 ah", 60), (CHARGE, "60 AH", 60), (CHARGE, "60 amp-hours", 60), (CHARGE, "60 A·h", 60),
    (VOLUME, "2.0l", 2), (VOLUME, "1998cc", 1.998), (SPEED, "750 RPM", 750), (SPEED, "850", 850),
    (SPEED, "850 r.p.m.", 850), (SPEED, "850 min-1", 850),
]


@pytest.mark.parametrize(("dimension", "text", "value"), READ)
def test_what_is_typed_in_a_workshop_is_read(dimension: Dimension, text: str, value: float) -> None:
    assert amount(text, dimension) == pytest.approx(value, rel=1e-12)


REFUSED: list[tuple[Dimension, str, str, tuple[str, ...]]] = [
    (CURRENT, "7", "'7' has no unit", ("7 A", "7 mA")), (LENGTH, "150", "has no unit", ("150 m", "150 ft")),
    (TIME, "1", "has no unit", ("1 s", "1 ms", "1 min")), (TEMPERATURE, "80", "has no unit", ("80 degC", "80 degF")),
    (VOLUME, "1998", "has no unit", ("1998 cm3",)), (CHARGE, "60", "has no unit", ("60 Ah",)),
    (CURRENT, "4 V", "'4 V' is a voltage; a current is wanted, like '4 A'", ()),
    (CURRENT, "5 kg", "is a mass; a current is wanted", ()), (CHARGE, "60 A", "is a current", ("60 Ah",)),
    (TIME, "15 m", "is a length; a time is wanted", ("15 min",)), (CHARGE, "60 C", "is a temperature", ()),
    (CURRENT, "2,5 A", "has a comma; write a point", ("2.5 A",)),
    (CURRENT, "1,500 A", "has a comma", ("1.500 A", "1500 A")), (LENGTH, "2,5", "has a comma", ("2.5 m", "2.5 ft")),
    (CURRENT, "5 MA", "M is mega, a million", ("5 mA",)), (RESISTANCE, "3 Mohm", "M is mega", ("3 mohm",)),
    (POWER, "5 MW", "M is mega", ("5 mW",)), (TIME, "5 MS", "M is mega", ("5 ms",)),
    (TEMPERATURE, "80 deg", "does not say which degrees", ("80 degC", "80 degF")),
    (CURRENT, "7 amprs", "the unit 'amprs' is not known", ("7 A",)), (CURRENT, "10 A fuse", "not known", ("10 A",)),
    (LENGTH, "5 ft 6", "is not one number with a unit", ("5 ft 6 in",)), (LENGTH, "5 ft 14 in", "not one number", ()),
    (LENGTH, "1/0 m", "may be a fraction", ("1 m", "0 m")), (CURRENT, "٣ A", "is not a current", ()),
    (CURRENT, "5-7 A", "not one number", ()), (CURRENT, "5 -A", "not known", ()),
    (POWER, "5/21 W", "may be a fraction or two figures", ("5 W", "21 W")),
    (POWER, "60/55W", "may be a fraction or two figures", ("60 W", "55 W")),
    (CURRENT, "½ A", "two figures", ("0.5 A", "1 A", "2 A")),
    (CURRENT, "5-1/2 A", "is not a current", ()),
    (LENGTH, "1/3 in", "may be a fraction or two figures", ("1 in", "3 in")),
    (CURRENT, "5 A 350 mA", "not one number", ()),
    (RESISTANCE, "mOhm", "is not a resistance", ()), (CURRENT, "-5 A", "out of range; accepted is 0 A to 20000 A", ()),
    (SPEED, "14 Hz", "is a frequency; a speed of rotation is wanted", ()),
]


@pytest.mark.parametrize(("dimension", "text", "words", "offered"), REFUSED)
def test_each_cause_is_said_and_what_was_meant_is_offered(
        dimension: Dimension, text: str, words: str, offered: tuple[str, ...]) -> None:
    with pytest.raises(AmountError) as caught:
        amount(text, dimension)
    assert words in str(caught.value)
    assert set(offered) <= set(caught.value.offers)
    assert bool(offered) == bool(caught.value.offers)


@pytest.mark.parametrize(("text", "meant"), [("4O A", "40 A"), ("1oo A", "100 A"), ("O.5 A", "0.5 A"), ("1O", "10 A")])
def test_the_letter_for_a_nought_is_told_and_offered(text: str, meant: str) -> None:
    refused = refusal(text, CURRENT)
    assert refused is not None
    assert meant in refused.offers
    assert "letter O" in str(refused)


def slips(number: str, spelling: str) -> set[str]:
    """An amount typed with a letter of its unit left out, doubled or out of its place, with a comma, and as it is."""
    units = {spelling, *(spelling[:at] + spelling[at + 1:] for at in range(1, len(spelling))),
             *(spelling[:at] + spelling[at - 1:] for at in range(1, len(spelling) + 1)),
             *(spelling[:at - 1] + spelling[at] + spelling[at - 1] + spelling[at + 1:]
               for at in range(2, len(spelling)))}
    return {f"{written} {unit}" for unit in units if len(unit) > 1 for written in (number, number.replace(".", ","))}


SMALL = [(dimension, unit.symbol) for dimension in DIMENSIONS for unit in UNITS[dimension.unit]
         if unit.symbol.startswith("m") and 0 < unit.scale < 0.5]


@pytest.mark.parametrize("low", [0.0, 0.0005, 0.5, 0.9], ids=lambda low: f"from {low:g}")
@pytest.mark.parametrize(("dimension", "symbol"), SMALL, ids=[f"{each.name} in {symbol}" for each, symbol in SMALL])
def test_a_thousandth_typed_wrongly_is_never_offered_as_a_thousand_times_more(
        dimension: Dimension, symbol: str, low: float) -> None:
    narrow, seen = dimension.within(f"{low} {dimension.unit}", dimension.highest), 0
    for number in ("0.495", "495.0", "9"):
        typed = float(number) * next(unit.scale for unit in UNITS[dimension.unit] if unit.symbol == symbol)
        for text in slips(number, symbol):
            refused = refusal(text, narrow)
            for offered in () if refused is None else refused.offers:
                seen += 1
                assert amount(offered, narrow) <= 10.001 * typed, (text, refused)
    assert seen or low


NUMBERS = st.one_of(st.floats(0, 1e4, allow_nan=False).map(lambda x: f"{x:.6g}"), st.integers(0, 999).map(str),
                    st.tuples(st.integers(0, 99), st.integers(0, 999)).map(lambda pair: f"{pair[0]},{pair[1]}"))
ODD = ("V", "mA", "MA", "Mohm", "kg", "deg", "°", "fuse", "A max", "gauge", "ft 6", "m 20", "", "blarg")
WORDS = sorted({*ODD, *(word for kept in UNITS for word in spellings(kept))})
TEXTS = st.one_of(
    st.tuples(NUMBERS, st.sampled_from(["", " ", "\u00a0"]), st.sampled_from(WORDS)).map("".join),
    st.tuples(NUMBERS, st.sampled_from(WORDS), NUMBERS, st.sampled_from(WORDS)).map(" ".join),
    st.text(alphabet="0123456789.,/-+'\" AVWmkΩhfti²°CF½eE\u00a0０", max_size=12), st.text(max_size=8))


def refusal(text: str, dimension: Dimension) -> AmountError | None:
    try:
        amount(text, dimension)
    except AmountError as error:
        return error
    return None


@settings(max_examples=400, deadline=None)
@example("½", LENGTH)
@given(text=TEXTS, dimension=st.sampled_from(DIMENSIONS))
@example(text="5'6", dimension=LENGTH)
def test_what_is_accepted_goes_round_and_a_refusal_names_what_is_accepted(text: str, dimension: Dimension) -> None:
    refused = refusal(text, dimension)
    if refused is not None:
        words = str(refused)
        assert "accepted is" in words or f"a {dimension.name} is wanted, like" in words
        assert "\n" not in words
        assert len(words) < 400
        assert refused.offers == offers(text, dimension)
        for offered in refused.offers:
            assert dimension.low <= amount(offered, dimension) <= dimension.high
            assert f"'{offered}'" in words
        return
    goes_round(text, dimension)


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(DIMENSIONS).flatmap(lambda dimension: st.tuples(
    st.tuples(NUMBERS, st.sampled_from(["", " "]), st.sampled_from(sorted({dimension.unit, *(
        spellings(dimension.unit) if dimension.unit in UNITS else ())}))).map("".join), st.just(dimension))))
def test_a_number_with_a_unit_of_its_dimension_goes_round(entered: tuple[str, Dimension]) -> None:
    """Of all texts hardly any is one that is accepted."""
    assume(refusal(*entered) is None)
    goes_round(*entered)


def goes_round(text: str, dimension: Dimension) -> None:
    value = amount(text, dimension)
    assert dimension.low <= value <= dimension.high
    assert value.text == text
    assert amount(value.text, dimension) == value
    assert amount(f" {text} ", dimension) == value


@settings(max_examples=100, deadline=None)
@given(number=st.one_of(st.integers(0, 10**6), st.floats(0, 1e6, allow_nan=False)),
       dimension=st.sampled_from(DIMENSIONS))
def test_a_number_without_a_unit_is_refused_everywhere_but_for_engine_speed(
        number: float, dimension: Dimension) -> None:
    for value in (number, str(number)):
        if dimension.bare:
            continue
        with pytest.raises(AmountError, match="has no unit"):
            amount(value, dimension)
    assert [each.name for each in DIMENSIONS if each.bare] == ["speed of rotation"]


@pytest.mark.parametrize("kept", UNITS)
def test_units_of_the_list_are_those_of_pint(kept: str) -> None:
    ureg = registry()
    target = ureg.Unit(PINT.get(kept, kept))
    for unit in UNITS[kept]:
        for number in (0.0, 1.0, 7.0):
            there = ureg.Quantity(number, PINT.get(unit.symbol, unit.symbol)).to(target).magnitude
            assert number * unit.scale + unit.offset == pytest.approx(there, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("kept", UNITS)
def test_every_spelling_of_the_list_is_read_as_its_unit(kept: str) -> None:
    found = spellings(kept)
    assert len(found) == sum(len({unit.symbol.casefold(), *unit.others}) for unit in UNITS[kept]), "none stands twice"
    for word, unit in found.items():
        assert scale(word, kept) == (unit.scale, unit.offset)


def test_common_spellings_and_half_typed_ones_load_no_pint() -> None:
    texts = [text for _, text, _ in READ] + [text for _, text, _, _ in REFUSED[:6]]
    code = ("import sys\nfrom fuseplan.quantities.amounts import *\n"
            f"for text in {texts!r}:\n  for dimension in (CURRENT, LENGTH, TIME, TEMPERATURE, CHARGE, VOLUME):\n"
            "    try: amount(text, dimension)\n    except AmountError: pass\n"
            "for end in range(3, 8): \n"
            "  try: amount('10 amps'[:end], CURRENT)\n  except AmountError: pass\n"
            "assert 'pint' not in sys.modules")
    subprocess.run([sys.executable, "-c", code], check=True)
