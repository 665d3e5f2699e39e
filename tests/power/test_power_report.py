"""The power report: its document, its text, its pictures."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.errors import StoreError
from fuseplan.papers.json_text import to_json
from fuseplan.papers.plots import Band, Marker, Picture, Series, text_plot, ticks
from fuseplan.papers.power_text import power_text
from fuseplan.papers.svg import svg_page
from fuseplan.papers.text import report
from fuseplan.planfile.outputs import write_picture
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.results.document import to_document
from fuseplan.results.power_report import PowerReport
from tests.power.plans import DEFICIT

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.one_in(3)
@pytest.mark.parametrize("file", [DEFICIT, *EXAMPLES], ids=lambda file: file.stem)
def test_the_document_has_its_shape(file: Path) -> None:
    assessment = assess(read_plan(file))
    whole = json.loads(to_json(to_document(PowerReport(assessment, assessment.results.power.trips))))
    assert set(whole["trips"]) == set(assessment.results.power.trips)
    assert whole["loads_in_condition"]
    assert len(whole["curve"]["points"]) > 50


@pytest.mark.parametrize("text", ["fuseplan = 1\n", 'fuseplan = 1\n[battery]\n', 'fuseplan = 1\n[alternator]\n',
                                  'fuseplan = 1\n[alternator]\nlabel = "what is this"\n[battery]\ncapacity = "1 Ah"\n'])
def test_plans_with_next_to_nothing_are_reported(text: str) -> None:
    assessment = assess(parse_plan(text))
    power = assessment.results.power
    assert power_text(assessment, power.trips, loads=True)
    json.loads(to_json(to_document(PowerReport(assessment, power.trips))))


def test_the_text_explains_the_deficit_line_by_line() -> None:
    assessment = assess(read_plan(DEFICIT))
    text = power_text(assessment, ("wet_night_traffic",), loads=True)
    for words in ("Why: Idle, wet night, load by load", "Sum of the averages", "Break-even: from",
                  "What would close the gap", "What to switch off", "from memory: check", "Standing", "Cranking",
                  "Alternator cable and exciter", "At the end:", "Load analysis, over 5 min"):
        assert words in text
    assert "nan" not in text.lower().replace("maintenance", "")
    assert all(len(line) <= 100 for line in text.splitlines())


def test_hostile_names_are_shown_not_sent() -> None:
    text = DEFICIT.read_text(encoding="utf-8").replace('name = "Radio"', 'name = "\\u001b[31mRadio"')
    assert "\x1b" not in power_text(assess(parse_plan(text)), ("commuter",), loads=True)


# --- pictures --------------------------------------------------------------------------------------------------------

BOTH = Picture("A <title> & more", "current, A", "time, s", x_axis="log", y_axis="log",
               series=(Series("wire", (10.0, 100.0), (100.0, 1.0)),),
               bands=(Band("fuse", (10.0, 20.0, 100.0), (100.0, 1.0, 0.01), (1000.0, 10.0, 0.1)),),
               markers=(Marker("far end", 50.0, "x"), Marker("5 s", 5.0, "y")), words=("A sentence.",))


def test_svg_is_well_formed_and_names_everything() -> None:
    page = svg_page([BOTH, BOTH])
    root = ElementTree.fromstring(page)
    said = [element.text for element in root.iter() if element.tag.endswith("text")]
    for words in ("A <title> & more", "wire", "fuse", "far end", "5 s", "current, A", "time, s", "A sentence."):
        assert said.count(words) == 2, words


def test_text_plot_names_everything_and_holds_no_codes() -> None:
    lines = text_plot(BOTH, 70, 16)
    text = "\n".join(lines)
    assert "\x1b" not in text
    for words in ("A <title> & more", "wire", "fuse", "far end", "5 s", "A sentence."):
        assert words in text
    assert all(len(line) <= 70 for line in lines[2:-2])


def test_points_that_cannot_be_drawn_are_left_out() -> None:
    series = Series("s", (0.0, -1.0, 1.0, 10.0), (1.0, 2.0, float("nan"), 3.0))
    strange = Picture("t", "x", "y", x_axis="log", series=(series,))
    assert strange.kept(strange.series[0].x, strange.series[0].y) == [(10.0, 3.0)]
    assert text_plot(strange)
    ElementTree.fromstring(svg_page([strange, Picture("empty", "x", "y")]))


@pytest.mark.parametrize(("low", "high", "axis", "expected"), [
    (0.0, 60.0, "linear", [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0]),
    (400.0, 7000.0, "linear", [2000.0, 4000.0, 6000.0]),
    (0.01, 100.0, "log", [0.01, 0.1, 1.0, 10.0, 100.0]),
])
def test_grid_lines_stand_at_round_numbers(low: float, high: float, axis: str, expected: list[float]) -> None:
    found = ticks(low, high, axis)  # type: ignore[arg-type]
    assert all(low <= place <= high for place in found)
    decades = [place for place in found if axis == "linear" or f"{place:.0e}".startswith("1")]
    assert decades == pytest.approx(expected)


def test_svg_never_replaces_another_kind_of_file(tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text("fuseplan = 1\n")
    with pytest.raises(StoreError, match="not SVG"):
        write_picture(svg_page([BOTH]), plan)
    assert plan.read_text() == "fuseplan = 1\n"
    target = tmp_path / "a.svg"
    write_picture(svg_page([BOTH]), target)
    first = target.read_text()
    write_picture(svg_page([BOTH]), target)
    assert target.read_text() == first
    with pytest.raises(StoreError, match="cannot be written"):
        write_picture(svg_page([BOTH]), tmp_path / "none" / "a.svg")


def test_an_alternator_of_unknown_output_shows_no_balance() -> None:
    """Neither the head, nor the tables, nor the sentence below them take it for one that gives nothing."""
    base = (Path(__file__).parents[1] / "checks" / "base.toml").read_text(encoding="utf-8")
    circuit = """
[circuit.lamp]
feed = "bus"
fuse = { kind = "blade", rating = "15 A" }
wire = [{ size = "2.5 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.lamp.load]]
current = "6 A"
kind = "lamp"
when = ["engine"]
evidence = "measured"
"""
    told = {}
    for words, entered in (("known", ""), ("unknown", 'rated = "90 A"\nlow_speed = "50 A"\n')):
        assessment = assess(parse_plan(base.replace(entered, "") + circuit))
        told[words] = power_text(assessment, room=200), report(assessment, room=200)
    for text in told["known"]:
        assert "balance +" in text.splitlines()[1]
    for text in told["unknown"]:
        assert "balance ? (the alternator's output is not known)" in text.splitlines()[1]
        rows = [line for line in text.splitlines() if line.strip().startswith(("Idle, wet night", "Cruise, day"))]
        assert len(rows) == 2
        for row in rows:
            assert row.count("?") >= 2
            assert "−" not in row
            assert " 0 A" not in row
    whole = assess(parse_plan(base.replace('rated = "90 A"\nlow_speed = "50 A"\n', "") + circuit)).to_dict()
    for each in whole["conditions"]:
        keys = ("available_a", "balance_a", "battery_a", "balance_upper_a", "alternator_a")
        assert all((each[key] is None) == (each["state"] == "running") for key in keys), each["id"]
    power, _ = told["unknown"]
    assert "Hot output ?, balance ?" in power
    assert "until it is flat" not in power
