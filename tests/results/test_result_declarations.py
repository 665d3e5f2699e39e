"""Every figure of the result is declared once: address, key, unit, side, words, working and text follow from that."""

from __future__ import annotations

import json
import typing
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.explain.working import workings
from fuseplan.checks.result_document import ResultDocument
from fuseplan.limits import names
from fuseplan.papers.json_text import to_json
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.quantities.writing import Kind
from fuseplan.results.address import FigureSpot, figures, find, joined, parts, split
from fuseplan.results.document import to_document
from fuseplan.results.part import Entry, Figure, Nested, Part
from fuseplan.results.power_report import PowerReport
from fuseplan.results.schema import annotation
from tests.documents import fits_power, fits_result, validator

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
SMALLEST = "boot_battery"
"""The example looked at by every set of limits in an ordinary run."""
CASES = [pytest.param(path, limit_set, id=f"{path.stem}-{limit_set}",
                      marks=pytest.mark.rest if limit_set != "road" and path.stem != SMALLEST else ())
         for path in EXAMPLES for limit_set in names()]
ENDINGS = {"A": ("_a",), "V": ("_v", "volts"), "ohm": ("_ohm",), "mm²": ("_mm2",), "°C": ("_c",), "m": ("_m",),
           "s": ("_s",), "W": ("_w",), "A·h": ("_ah",), "r/min": ("_rpm",), "min": ("_min",), "day": ("days", "days_")}
"""How a key says its unit; a share and a bare number have none."""
SIDES = {"burden", "limit", "balance", "stated"}


@cache
def assessment_of(path: Path, limit_set: str) -> Assessment:
    return assess(read_plan(path), limit_set)


def kinds(kind: type[Part], seen: set[type[Part]] | None = None) -> Iterator[type[Part]]:
    """A kind of part and all kinds it may hold."""
    seen = set() if seen is None else seen
    if kind not in seen:
        seen.add(kind)
        yield kind
        for declaration in kind.declared:
            if isinstance(declaration, Nested):
                for inner in held(annotation(declaration)):
                    yield from kinds(inner, seen)


def held(kind: Any) -> Iterator[type[Part]]:
    if isinstance(kind, type) and issubclass(kind, Part):
        yield kind
    for inner in typing.get_args(kind):
        yield from held(inner)


KINDS = [*kinds(ResultDocument), *(each for each in kinds(PowerReport) if each not in set(kinds(ResultDocument)))]
RESULT_KINDS = set(kinds(ResultDocument))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_what_a_part_declares_is_whole(kind: type[Part]) -> None:
    """Keys and words are its own, every figure has a unit and a side, and a working where it has an address."""
    assert kind.declared, kind
    assert kind.__doc__
    assert max(Counter(each.key for each in kind.declared).values()) == 1
    assert max(Counter(each.words for each in kind.declared).values()) == 1
    for each in kind.declared:
        assert each.words, each
        assert isinstance(each, (Entry, Figure, Nested)), each
        if isinstance(each, Figure):
            assert each.unit, each
            assert each.side in SIDES, each
            assert callable(each.written), each
            assert each in workings() or kind not in RESULT_KINDS, f"{each!r} has no working"


def test_keys_end_in_their_unit() -> None:
    """Of the figure itself, or of the part it stands in: ``load_current_a.continuous``."""
    seen = 0
    for path in EXAMPLES:
        for figure in figures(assessment_of(path, "road").whole):
            assert isinstance(figure.declaration, Figure)
            endings = ENDINGS.get(figure.unit)
            if endings is None:
                assert figure.unit in ("share", "-"), figure.address
                continue
            seen += 1
            keys = [step for step in figure.steps[-2:] if not step.isdecimal()]
            assert any(key.endswith(endings) or key.startswith("days_") for key in keys), figure.address
    assert seen > 1000


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("path", "limit_set"), CASES)
def test_every_number_of_the_document_is_a_declared_figure_at_its_address(path: Path, limit_set: str) -> None:
    assessment = assessment_of(path, limit_set)
    document = assessment.to_dict()
    counted, whole = 0, assessment.whole
    for address, value in numbers(document):
        found = find(whole, address)
        assert isinstance(found, FigureSpot), address
        assert found.value == value, address
        counted += isinstance(found.declaration, Figure)
        if not isinstance(found.declaration, Figure):
            assert isinstance(found.declaration, Entry), address
            assert isinstance(value, int), f"{address}: a number with a unit is a figure"
    known = [each for each in figures(whole) if each.value is not None]
    assert counted == len(known)
    assert counted > 500


ROWS = ("assumptions", "findings")
"""Rows that carry the unit of their figures beside them."""


def numbers(value: Any, steps: tuple[str, ...] = ()) -> Iterator[tuple[str, float]]:
    """(address, value) of every number of a document but those of rows with a unit of their own."""
    if isinstance(value, dict):
        for key, each in value.items():
            if not steps and key in ROWS:
                assert all("unit" in row for row in each)
            else:
                yield from numbers(each, (*steps, key))
    elif isinstance(value, list):
        for number, each in enumerate(value):
            name = each["id"] if isinstance(each, dict) and "id" in each else str(number)
            yield from numbers(each, (*steps, name))
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield joined(steps), value


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_address_is_of_one_figure_and_leads_to_it(path: Path) -> None:
    whole = assessment_of(path, "road").whole
    every = list(figures(whole))
    assert max(Counter(each.address for each in every).values()) == 1
    for each in every:
        again = find(whole, each.address)
        assert isinstance(again, FigureSpot)
        assert (again.steps, again.declaration, again.number) == (each.steps, each.declaration, each.number)
        assert tuple(split(each.address)) == each.steps
    for spot in parts(whole):
        again = find(whole, spot.address)
        assert again is not None, spot.address
        assert (again.steps, again.names, type(again.part)) == (spot.steps, spot.names, type(spot.part))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_figure_is_written_as_its_declaration_says(path: Path) -> None:
    compared = 0
    for figure in figures(assessment_of(path, "road").whole):
        assert isinstance(figure.declaration, Figure)
        if figure.value is None:
            assert figure.text == "unknown"
            continue
        compared += 1
        assert isinstance(figure.value, (int, float))
        assert figure.text == figure.declaration.written(figure.value)
        if isinstance(figure.declaration.written, Kind):
            assert figure.declaration.written.side == figure.declaration.side
    assert compared > 500


NEXT_TO_NOTHING = ("fuseplan = 1\n", "fuseplan = 1\n[circuit.a]\n", "fuseplan = 1\n[battery]\n",
                   'fuseplan = 1\n[alternator]\nlabel = "what is this"\n[battery]\ncapacity = "1 Ah"\n[feed.a]\n')


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("path", "limit_set"), CASES)
def test_the_schemas_fit_the_documents(path: Path, limit_set: str) -> None:
    assessment = assessment_of(path, limit_set)
    fits_result(json.loads(to_json(assessment.to_dict())))
    trips = assessment.results.power.trips if limit_set == "road" else ()
    fits_power(json.loads(to_json(to_document(PowerReport(assessment, trips)))))


@pytest.mark.parametrize("text", NEXT_TO_NOTHING)
def test_the_schemas_fit_the_documents_of_plans_with_next_to_nothing(text: str) -> None:
    assessment = assess(parse_plan(text))
    fits_result(json.loads(to_json(assessment.to_dict())))
    fits_power(json.loads(to_json(to_document(PowerReport(assessment, assessment.results.power.trips)))))


def test_the_schemas_say_what_keys_mean_and_refuse_others() -> None:
    result = validator(ResultDocument)
    fuse = result.schema["$defs"]["FuseResult"]["properties"]
    assert fuse["rating_a"]["description"] == "rating of the fuse [A]"
    document = json.loads(to_json(assessment_of(EXAMPLES[0], "road").to_dict()))
    document["circuits"][0]["glow_a"] = 3.0
    assert not result.is_valid(document)
    del document["circuits"][0]["glow_a"], document["circuits"][0]["verdict"]
    assert not result.is_valid(document)


@pytest.mark.parametrize("kind", [ResultDocument, PowerReport])
def test_the_schemas_hold_all_keys_of_each_object_and_no_others(kind: type[Part]) -> None:
    """The keys of findings, questions and assumptions, too, which are no parts."""
    ahead: list[Any] = [validator(kind).schema]
    objects = 0
    while ahead:
        each = ahead.pop()
        if isinstance(each, dict):
            if isinstance(each.get("properties"), dict) and "type" in each:
                objects += 1
                assert each["additionalProperties"] is False, each
                assert each["required"] == list(each["properties"])
            ahead += each.values()
        elif isinstance(each, list):
            ahead += each
    assert objects > 10


@pytest.mark.parametrize("steps", [("circuits", "a.b", "fuse"), ("circuits", 'say "x"', "0"), ("circuits", "a\\", "b"),
                                   ("circuits", "", "x"), ("feeds", "ä ö", "x")])
def test_an_address_holds_any_name(steps: tuple[str, ...]) -> None:
    assert tuple(split(joined(steps))) == steps
