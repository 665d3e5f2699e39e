"""One figure reads the same in the tables, in the findings and in its working: same places, same side, same unit."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.explain import explain
from fuseplan.engine.intervals import INTERVALS
from fuseplan.papers import columns, device_columns, power_columns, supply_columns
from fuseplan.papers.circuit_text import circuit_report
from fuseplan.papers.findings import figure_words
from fuseplan.papers.power_text import power_text
from fuseplan.papers.protect_text import devices_report, protect_report
from fuseplan.papers.text import report
from fuseplan.papers.working_text import working_text
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.quantities import writing
from fuseplan.results.address import FigureSpot, figures
from fuseplan.workspace.workings import behind

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
SHOWS_NOTHING = {writing.NONE, writing.UNKNOWN, "not on file", "never?"}

CONDITION = {"bus": "average_bus_v", "lowest_bus": "bus_v", "demand": "demand_a", "peak": "peak_a",
             "available": "available_a", "balance": "balance_a", "battery": "battery_a"}
POWER = {"output": "available_a", "demand": "demand_a", "balance": "balance_a", "bus": "average_bus_v",
         "share": "continuous_share", "peak": "peak_share", "no_start": "no_start_min", "flat": "flat_min"}
SEGMENT = {"length": "length_m", "current": "current_a", "ampacity": "ampacity_a",
           "temperature": "table_temperature_c", "balance": "temperature_c"}
FAULT = {"prospective": "prospective_a", "far": "far_end_a", "opens": "max_clearing_s"}


@cache
def assessment_of(path: Path) -> Assessment:
    return assess(read_plan(path))


@cache
def figures_of(path: Path) -> dict[str, FigureSpot]:
    return {figure.address: figure for figure in figures(assessment_of(path).whole)}


def cells(path: Path) -> Iterator[tuple[str, str]]:
    """(address, what a table says) of every cell that shows one figure as it stands."""
    assessment = assessment_of(path)
    for view in assessment.circuits:
        shown = {column.key: column.cell(view) for column in columns.COLUMNS}
        yield f"circuits.{view.id}.load_current_a.{INTERVALS[view.load_interval]}", shown["design"]
        if "–" in shown["window"] and shown["window"] != writing.NONE:
            low, high = shown["window"].split("–")
            yield f"circuits.{view.id}.fuse.range_a.low", f"{low} A"
            yield f"circuits.{view.id}.fuse.range_a.high", f"{high} A" if high != writing.UNKNOWN else high
    for row in assessment.conditions:
        for column in supply_columns.CONDITION_COLUMNS:
            if column.key in CONDITION:
                yield f"conditions.{row.id}.{CONDITION[column.key]}", column.cell(row)
        for column in power_columns.CONDITION_COLUMNS:
            if column.key in POWER:
                yield f"conditions.{row.id}.{POWER[column.key]}", column.cell(row)
    for kind, views in (("circuits", assessment.circuits), ("feeds", assessment.feeds), ("earths", assessment.earths)):
        for view in views:
            for number, segment in enumerate(view.segments):
                for column in supply_columns.SEGMENT_COLUMNS:
                    if column.key in SEGMENT:
                        yield f"{kind}.{view.id}.segments.{number}.{SEGMENT[column.key]}", column.cell(segment)
    for device, row in zip(device_columns.device_rows(assessment), assessment.results.network.fuses, strict=True):
        for column in device_columns.DEVICE_COLUMNS:
            if column.key in FAULT:
                yield f"{row.owner[0]}s.{row.owner[1]}.fault.{FAULT[column.key]}", column.cell(device)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_tables_read_as_the_workings_do(path: Path) -> None:
    known, compared = figures_of(path), 0
    for address, cell in cells(path):
        figure = known.get(address)
        if figure is None or figure.value is None or cell in SHOWS_NOTHING:
            continue
        compared += 1
        assert figure.text == cell, address
    assert compared > 150


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_extremes_over_the_conditions_read_as_one_of_the_figures(path: Path) -> None:
    assessment, texts = assessment_of(path), {address: each.text for address, each in figures_of(path).items()}
    compared = 0
    for kind, views, listed, keys in (
            ("feeds", assessment.feeds, supply_columns.FEED_COLUMNS, {"lowest": "volts"}),
            ("earths", assessment.earths, supply_columns.EARTH_COLUMNS, {"volts": "volts"})):
        for view in views:
            for column in listed:
                if column.key in keys and column.cell(view) not in SHOWS_NOTHING:
                    compared += 1
                    among = {text for address, text in texts.items()
                             if address.startswith(f"{kind}.{view.id}.in_condition.")
                             and address.endswith(f".{keys[column.key]}")}
                    assert column.cell(view) in among, f"{kind} {view.id} {column.key}"
    assert compared >= 8


def test_findings_read_as_the_workings_do() -> None:
    compared = 0
    for path, finding in ((each, finding) for each in EXAMPLES for finding in assessment_of(each).findings):
        figure = behind(assessment_of(path), finding)
        if finding.limit is None or figure is None or not isinstance(figure.value, float):
            continue
        if math.isclose(figure.value, finding.figure or math.nan, rel_tol=1e-6):
            compared += 1
            own, limit = writing.judged(figure.value, finding.limit, finding.unit, finding.figure_side)
            if float(own.split()[0]) != float(limit.split()[0]):
                assert figure_words(finding).startswith(f"{figure.text} against"), (figure.address, finding.check)
    assert compared > 3


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_working_is_headed_by_the_figure_as_it_is_written(path: Path) -> None:
    known = figures_of(path)
    address = next(each for each in known if each.endswith(".load_current_a.continuous"))
    heading = working_text(explain(assessment_of(path), known[address]), 100).splitlines()[0]
    assert heading == f"{address} = {known[address].text}"


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_paper_carries_raw_floats(path: Path) -> None:
    """More than four decimals, an exponent or no number at all is a figure nobody wrote."""
    assessment = assessment_of(path)
    circuit = next(view.id for view in assessment.circuits if view.fuse is not None and not view.missing)
    papers = [report(assessment), power_text(assessment, loads=True), devices_report(assessment),
              protect_report(assessment, circuit),
              *(circuit_report(assessment, view.id) for view in list(assessment.circuits)[::4])]
    texts = [line for paper in papers for line in paper.splitlines()]
    assert len(texts) > 300
    assert [line for line in texts if re.search(r"\d\.\d{5}|\d\.?\de[-+]\d|\bnan\b|\binf\b", line)] == []
