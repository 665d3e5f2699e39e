"""Every figure of a plan has a range of what can exist; schema, form and error say the same one."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from fuseplan.cli.commands.schema import plan_schema as made
from fuseplan.engine.stock import ladder
from fuseplan.errors import AmountError, PlanError
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.validation_messages import sentences
from fuseplan.quantities.amounts import Amount, Between, amount
from fuseplan.workspace.entry import is_right
from fuseplan.workspace.fields import PARTS, Entry, entries, entry_at
from fuseplan.workspace.rows import _help


def figures() -> Iterator[tuple[type[BaseModel], Entry]]:
    for model in PARTS:
        for entry in entries(model):
            if entry.kind in ("amount", "number", "whole", "pair"):
                yield model, entry


FIGURES = list(figures())
IDS = [f"{entry.owner}.{entry.key}" for _, entry in FIGURES]


def test_there_are_figures() -> None:
    assert len(FIGURES) > 45


def wrong(model: type[BaseModel], entry: Entry, value: Any) -> str:
    """What is said against a value of a key; "" where it is accepted."""
    if entry.kind == "pair":
        value = [value, value]
    try:
        model.model_validate({entry.key: value})
    except ValidationError as error:
        return "; ".join(message for path, message in sentences(error, model) if path[0] == entry.key)
    return ""


@pytest.mark.parametrize(("model", "entry"), FIGURES, ids=IDS)
def test_every_figure_is_accepted_at_both_ends_and_refused_past_them(model: type[BaseModel], entry: Entry) -> None:
    assert entry.span
    if entry.dimension is not None:
        low, high, unit = entry.dimension.low, entry.dimension.high, entry.dimension.unit
        inside: list[Any] = [entry.dimension.lowest, entry.dimension.highest, *entry.dimension.fitting]
        below, above = low - 1e-3 * (abs(low) or 1), high * 1.001
        past: list[Any] = [f"{below:.12g} {unit}", f"{above:.12g} {unit}", f"1e300 {unit}", f"-1e9 {unit}"]
    else:
        assert entry.between is not None
        low, high = entry.between.low, entry.between.high
        inside = [low, high] if entry.kind == "number" else [int(low), int(high)]
        past = [low - 1, high + 1, math.nan, math.inf, 1e300] if entry.kind == "number" else [-1, int(high) + 1]
    assert low < high
    for value in inside:
        assert wrong(model, entry, value) == "", value
    for value in past:
        said = wrong(model, entry, value)
        assert f"accepted is {entry.span}" in said, value


EXAMPLES = [pytest.param(entry, example, id=f"{entry.owner}.{entry.key} {example}")
            for model in PARTS for entry in entries(model) if entry.dimension is not None
            for example in entry.dimension.fitting]


@cache
def in_use() -> dict[tuple[str, str], list[float]]:
    """The figures that the shipped plans and the library enter at each key, in the unit of its dimension."""
    root = Path(__file__).parents[2]
    found: dict[tuple[str, str], list[float]] = {}

    def walk(held: Any, path: tuple[str | int, ...]) -> None:
        entry = entry_at(path) if path else None
        if entry is not None and entry.dimension is not None:
            for each in held if isinstance(held, list) else [held]:
                found.setdefault((entry.owner, entry.key), []).append(float(amount(each, entry.dimension)))
            return
        for step, each in held.items() if isinstance(held, dict) else enumerate(held) if isinstance(held, list) else ():
            walk(each, (*path, step))

    for file in (*root.glob("examples/*.toml"), *root.glob("circuits/*.toml")):
        walk(tomllib.loads(file.read_text(encoding="utf-8")), ())
    return found


@pytest.mark.parametrize(("entry", "example"), EXAMPLES)
def test_an_example_is_of_the_size_its_key_has(entry: Entry, example: str) -> None:
    """Within the range, and no more than five times past the figures that the shipped plans enter at the same key."""
    assert entry.dimension is not None
    assert example in _help(entry)
    assert example not in (entry.dimension.lowest, entry.dimension.highest), "an end of the range shows no size"
    held = [abs(each) for each in in_use().get((entry.owner, entry.key), []) if each]
    value = float(amount(example, entry.dimension))
    if held:
        assert min(held) / 5 <= value <= 5 * max(held), (min(held), max(held))
    if entry.owner == "stock" and (sold := ladder(entry.key)):
        assert value in sold


def test_examples_are_held_against_the_keys_that_matter() -> None:
    assert {("battery", "cold_crank"), ("battery", "capacity"), ("alternator", "rated"), ("alternator", "low_speed"),
            ("fuse", "distance"), ("fuse", "rating"), ("relay", "driver_limit"), ("load", "standby")} <= set(in_use())


def test_an_amount_read_for_one_field_is_not_accepted_in_a_narrower_one() -> None:
    model, entry = next(each for each in FIGURES if each[1].key == "internal_resistance")
    assert "out of range" in wrong(model, entry, Amount(9.0, "9 ohm"))
    assert wrong(model, entry, Amount(0.009, "9 mohm")) == ""


@pytest.mark.parametrize(("key", "typed", "meant"), [
    ("internal_resistance", "9 ohm", "9 mohm"),
    ("regulator_voltage", "14200 V", "14200 mV"),
    ("standby", "350 A", "350 mA"), ("inrush_time", "1000 s", "1000 ms"), ("length", "4200 m", "4200 mm"),
    ("displacement", "1998 litre", "1998 cm3"), ("resistance", "3 ohm", "3 mohm"),
])
def test_a_value_that_fits_in_another_unit_is_asked_about(key: str, typed: str, meant: str) -> None:
    entry = next(entry for _, entry in FIGURES if entry.key == key)
    assert entry.dimension is not None
    with pytest.raises(AmountError, match=f"did you mean '{meant}'"):
        amount(typed, entry.dimension)
    amount(meant, entry.dimension)


def test_nothing_is_asked_about_a_value_that_fits_in_no_unit() -> None:
    entry = next(entry for _, entry in FIGURES if entry.key == "internal_resistance")
    assert entry.dimension is not None
    for typed in ("0 ohm", "1e9 ohm", "-3 mohm", "0.495 mohm"):
        with pytest.raises(AmountError) as error:
            amount(typed, entry.dimension)
        assert "did you mean" not in str(error.value)


def test_a_share_typed_as_per_cent_is_asked_about() -> None:
    with pytest.raises(AmountError, match=r"80 is out of range; accepted is 0 to 1; did you mean 0\.8\?"):
        Between(0, 1).check(80)


def test_the_file_and_line_are_named() -> None:
    with pytest.raises(PlanError) as error:
        parse_plan('fuseplan = 1\n[battery]\ncapacity = "60 Ah"\ninternal_resistance = "9 ohm"\n', "car.toml")
    assert str(error.value) == ("car.toml:4: battery: `internal_resistance` is wrong: '9 ohm' is out of range; "
                                "accepted is 0.5 mohm to 1 ohm; did you mean '9 mohm'?")


@pytest.mark.parametrize(("model", "entry"), FIGURES, ids=IDS)
def test_the_form_says_the_range_and_marks_what_lies_outside(model: type[BaseModel], entry: Entry) -> None:
    assert entry.span in _help(entry)
    if entry.dimension is not None and entry.kind == "amount":
        assert is_right(entry, entry.dimension.highest)
        assert not is_right(entry, f"{entry.dimension.high * 2:g} {entry.dimension.unit}")
    elif entry.between is not None:
        assert is_right(entry, f"{entry.between.high:g}")
        assert not is_right(entry, f"{entry.between.high + 1:g}")


plan_schema = cache(made)


@pytest.mark.parametrize(("model", "entry"), FIGURES, ids=IDS)
def test_the_schema_says_the_range(model: type[BaseModel], entry: Entry) -> None:
    found = plan_schema()["$defs"][model.__name__]["properties"][entry.key]
    shown = str(found)
    if entry.between is not None:
        assert f"'minimum': {entry.between.low}" in shown
        assert f"'maximum': {entry.between.high}" in shown
    else:
        assert entry.span in shown
