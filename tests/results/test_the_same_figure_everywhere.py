"""A figure of a circuit is the same wherever it is read: in the result document, the CSV files, the tables and the
report of one circuit, the papers, and at the end of its working; a limit is never rounded up, a burden never down.

The texts are read here by arithmetic of their own, not by what writes them.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from fuseplan.build.facts import build_facts
from fuseplan.checks import Assessment, assess
from fuseplan.checks.explain import explain
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.papers.circuit_text import circuit_report
from fuseplan.papers.columns import COLUMNS
from fuseplan.papers.csv_files import csv_texts
from fuseplan.papers.paper import Marked, Table
from fuseplan.papers.paper_set import papers_of
from fuseplan.papers.supply_columns import SEGMENT_COLUMNS
from fuseplan.papers.text import report
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.results.address import FigureSpot, find, joined
from fuseplan.results.part import Figure

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
CASES = [pytest.param(path, id=path.stem, marks=() if path.stem == "van_24v" else pytest.mark.rest)
         for path in EXAMPLES]
UNITS = {"": 1.0, "A": 1.0, "mA": 1e-3, "V": 1.0, "mV": 1e-3, "Ω": 1.0, "mΩ": 1e-3, "m": 1.0, "mm": 1e-3, "°C": 1.0,
         "%": 0.01, "s": 1.0}
NUMBER = r"[−-]?\d+(?:\.\d+)?"
ONE = rf"(?:{NUMBER}(?: (?:mA|A|mV|V|mΩ|Ω|mm|m|°C|%|s)\b|°C| %)?|\?)"
NOT_KNOWN = {"", "?", "–", "-", "unfused"}


class Seen(NamedTuple):
    """A figure as it was read somewhere."""

    where: str
    address: str
    text: str


@cache
def assessment_of(path: Path) -> Assessment:
    return assess(read_plan(path))


def agrees(text: str, value: float | None, side: str) -> bool:
    """Whether a text says a value, rounded to the side of its figure by less than a unit in its last place."""
    if value is None or text in NOT_KNOWN:
        return value is None and text in NOT_KNOWN
    found = re.fullmatch(rf"({NUMBER})\s*(\S*)", text)
    assert found, text
    number, scale = found[1].replace("−", "-"), UNITS[found[2]]
    read, last = float(number) * scale, 10.0 ** -len(number.partition(".")[2]) * scale
    off, noise = read - value, 1e-6 * max(abs(value), abs(last))
    if side == "burden":
        return -noise <= off < last + noise
    if side == "limit":
        return -last - noise < off <= noise
    return abs(off) <= last / 2 + noise


def columns_of(view: JudgedCircuit) -> Iterator[Seen]:
    """The line of the table of circuits, and those of its wires."""
    at, where = joined(("circuits", view.id)), "circuits table"
    cells = {column.key: column.cell(view) for column in COLUMNS}
    if view.has_figures:
        demand = next((key for key in ("continuous", "5min", "5s") if view.load_a == _demand(view, key)), "continuous")
        yield Seen(where, f"{at}.load_current_a.{demand}", cells["design"])
    if view.fuse is not None:
        yield Seen(where, f"{at}.fuse.rating_a", cells["fuse"].rstrip("*").split(" ")[0])
        low, _, high = cells["window"].partition("–") if cells["window"] != "?" else ("?", "", "?")
        yield Seen(where, f"{at}.fuse.range_a.low", low)
        yield Seen(where, f"{at}.fuse.range_a.high", high)
    if view.drop is not None:
        volts, _, allowed = cells["drop"].removesuffix(" V").partition("/")
        yield Seen(where, f"{at}.drop.judged_v", volts)
        yield Seen(where, f"{at}.drop.limit_v", allowed)
    keys = {"length": "length_m", "ambient": "ambient_c", "conductors": "conductors", "current": "current_a",
            "ampacity": "ampacity_a", "temperature": "table_temperature_c", "balance": "temperature_c"}
    for number, segment in enumerate(view.segments):
        for column in SEGMENT_COLUMNS:
            if column.key in keys:
                yield Seen("wires table", f"{at}.segments.{number}.{keys[column.key]}", column.cell(segment))


def _demand(view: JudgedCircuit, key: str) -> float | None:
    found = {"continuous": view.load_current_a.continuous, "5min": view.load_current_a.five_min,
             "5s": view.load_current_a.five_s}
    return found[key]


LINES = (
    (rf"Demands +({ONE}) for 5 s, ({ONE}) for 5 min, ({ONE}) continuous",
     ("load_current_a.5s", "load_current_a.5min", "load_current_a.continuous")),
    (rf"Drop, where +({ONE}) supply, ({ONE}) return", ("drop.supply_v", "drop.return_v")),
    (rf"Short circuit +({ONE}) prospective, ({ONE}) at the far end", ("fault.prospective_a", "fault.far_end_a")),
    (rf"Short circuit .*clears within ({ONE})", ("fault.max_clearing_s",)),
)
SEGMENT_WORDS = ((rf"alone ({ONE}) by the table", "table_ampacity_a"), (rf", ({ONE}) by heat balance", (
    "heat_balance_ampacity_a")), (rf"steady ({ONE}) by heat balance", "temperature_c"), (rf"short of ({ONE}): at most",
    "fault_a"), (rf"at most ({ONE}),", "fault_temperature_c"))


def report_of(assessment: Assessment, view: JudgedCircuit) -> Iterator[Seen]:
    """The report of one circuit, read line by line."""
    at, text = joined(("circuits", view.id)), circuit_report(assessment, view.id, room=2000)
    for pattern, keys in LINES:
        found = re.search(pattern, text)
        if found:
            yield from (Seen("circuit report", f"{at}.{key}", each) for key, each in zip(keys, found.groups(),
                                                                                         strict=True))
    bullets = re.findall(r"^  • ((?:earth )?wire.*; steady .*)$", text, flags=re.MULTILINE)
    for number, (_, line) in enumerate(zip(view.segments, bullets, strict=False)):
        for pattern, key in SEGMENT_WORDS:
            found = re.search(pattern, line)
            if found:
                yield Seen("circuit report", f"{at}.segments.{number}.{key}", found[1])
    for condition in assessment.conditions:
        found = re.search(rf"^  {re.escape(condition.name)}: ({ONE}), (.*) at its loads$", text, flags=re.MULTILINE)
        if found:
            yield Seen("circuit report", f"{at}.in_condition.{condition.id}.current_a", found[1])
            for number, volts in enumerate(found[2].split(", ")):
                yield Seen("circuit report", f"{at}.in_condition.{condition.id}.load_v.{number}", volts)


def papers_seen(assessment: Assessment) -> Iterator[Seen]:
    """The tables of the papers that have a line a circuit."""
    by_name = {view.name: view for view in assessment.circuits}
    wanted = {("summary", "circuits"): {"fuse_a": "fuse.rating_a", "smallest_fuse_a": "fuse.range_a.low",
                                        "largest_fuse_a": "fuse.range_a.high", "drop_v": "drop.judged_v",
                                        "drop_limit_v": "drop.limit_v"},
              ("load-analysis", "demand"): {"continuous_a": "load_current_a.continuous",
                                            "five_min_a": "load_current_a.5min", "five_s_a": "load_current_a.5s"},
              ("fuse-map", "positions"): {"fuse_a": "fuse.rating_a"},
              ("fuse-map", "elsewhere"): {"fuse_a": "fuse.rating_a"}}
    for paper in papers_of(assessment, tuple(dict.fromkeys(name for name, _ in wanted))):
        for block in paper.blocks:
            keys = wanted.get((paper.name, block.name), {}) if isinstance(block, Table) else {}
            for row in block.rows if isinstance(block, Table) and keys else ():
                cells = dict(zip(block.columns, row, strict=True))
                view = next((by_name[cell] for cell in row if isinstance(cell, str) and cell in by_name), None)
                for column, cell in cells.items():
                    if view is not None and column.key in keys:
                        plain = cell.value if isinstance(cell, Marked) else cell
                        yield Seen(f"paper {paper.name}", f"{joined(('circuits', view.id))}.{keys[column.key]}",
                                   column.written(plain))


def circuit_sheets_seen(assessment: Assessment) -> Iterator[Seen]:
    """What the circuit sheets expect to be read at the loads of a circuit, in the condition each names."""
    facts = build_facts(assessment)
    by_name = {view.name: view for view in assessment.circuits}
    for block in next(papers_of(assessment, ("circuit-sheets",))).blocks:
        if not isinstance(block, Table) or block.name != "way":
            continue
        view = by_name[block.about]
        called = getattr(facts.path(view.id).condition, "called", None)
        condition = next((name for name, each in view.in_condition.items() if each.called == called), "")
        keys = [column.key for column in block.columns]
        loads = [dict(zip(keys, row, strict=True)) for row in block.rows if row[0] == "load"]
        for number, row in enumerate(loads if condition and len(loads) == len(view.circuit.load) else ()):
            at = f"{joined(('circuits', view.id))}.in_condition.{condition}.load_v.{number}"
            volts = block.columns[keys.index("volts_v")]
            yield Seen("paper circuit-sheets", at, volts.written(row["volts_v"]))


def csv_seen(assessment: Assessment) -> Iterator[Seen]:
    """The CSV files of circuits and wires, cell by cell."""
    texts = csv_texts(assessment)
    for row in csv.DictReader(io.StringIO(texts["circuits.csv"].removeprefix("\ufeff"))):
        for key, text in row.items():
            yield Seen("circuits.csv", f"{joined(('circuits', row['id']))}.{key}", text)
    places = {view.id: {segment.place: number for number, segment in enumerate(view.segments)}
              for view in assessment.circuits}
    for row in csv.DictReader(io.StringIO(texts["segments.csv"].removeprefix("\ufeff"))):
        number = places.get(row["owner"], {}).get(row["place"]) if row["owner_kind"] == "circuit" else None
        if number is not None:
            for key, text in row.items():
                yield Seen("segments.csv", f"{joined(('circuits', row['owner']))}.segments.{number}.{key}", text)


def in_document(document: dict[str, Any], spot: FigureSpot) -> Any:
    """The number at an address of the result document."""
    here: Any = document
    for step in spot.steps:
        if isinstance(here, list) and not step.isdecimal() and here and isinstance(here[0], dict):
            here = next(each for each in here if each.get("id") == step)
        elif isinstance(here, list):
            here = here[{"low": 0, "high": 1}[step] if step in ("low", "high") else int(step)]
        else:
            here = here[step]
    return here


@pytest.mark.parametrize("path", CASES)
def test_a_figure_of_a_circuit_is_the_same_wherever_it_is_read(path: Path) -> None:
    assessment = assessment_of(path)
    document = json.loads(json.dumps(assessment.to_dict()))
    views = [view for view in assessment.circuits if view.circuit.out_of_scope is None]
    seen = [*csv_seen(assessment), *papers_seen(assessment), *circuit_sheets_seen(assessment),
            *(each for view in views for each in (*columns_of(view), *report_of(assessment, view)))]
    places: dict[str, int] = {}
    differ = []
    whole_result = assessment.whole
    for each in seen:
        spot = find(whole_result, each.address)
        if not isinstance(spot, FigureSpot) or not isinstance(spot.declaration, Figure):
            continue  # A text or a flag of a CSV file.
        value = in_document(document, spot)
        if not agrees(each.text, value, "stated" if each.where.endswith("csv") else spot.declaration.side):
            differ.append((each, value, spot.declaration.side))
        places[each.where] = places.get(each.where, 0) + 1
    assert not differ
    everywhere = ("circuits.csv", "segments.csv", "paper summary", "paper load-analysis", "paper circuit-sheets",
                  "circuits table", "wires table", "circuit report")
    assert min(places.get(where, 0) for where in everywhere) >= len(views) - 1
    whole = report(assessment, room=400)
    for view in views:
        for column in COLUMNS:
            assert column.cell(view) in whole


@pytest.mark.parametrize("path", CASES)
def test_the_working_of_a_figure_ends_in_the_document_s_number(path: Path) -> None:
    assessment = assessment_of(path)
    document = json.loads(json.dumps(assessment.to_dict()))
    tried, whole = 0, assessment.whole
    for view in assessment.circuits:
        for key in ("load_current_a.continuous", "fuse.range_a.low", "fuse.range_a.high", "drop.judged_v"):
            spot = find(whole, f"{joined(('circuits', view.id))}.{key}")
            if isinstance(spot, FigureSpot) and (value := in_document(document, spot)) is not None:
                assert explain(assessment, spot).steps[-1].result == pytest.approx(value, rel=1e-9), spot.address
                tried += 1
    assert tried > len(assessment.plan.circuit)
