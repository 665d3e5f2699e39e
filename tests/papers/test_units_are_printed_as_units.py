"""What a reader gets has units as they are printed, ``mm²``, ``Ω`` and ``°C``, however the plan file spells them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import fuseplan.looms
from fuseplan.advice.plan_comparison import compare_plans
from fuseplan.checks.assessment import assess
from fuseplan.checks.side_by_side import side_by_side
from fuseplan.papers.limits_text import limits_text
from fuseplan.papers.plan_comparison_text import comparison_text
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.quantities import writing
from fuseplan.workspace.form import Form
from fuseplan.workspace.preview import circuit_facts
from fuseplan.workspace.session import Session

TYPED = re.compile(r"\d ?(mm2|degC|m?ohm)\b")
PLAN = """fuseplan = 1
[zone.bay]
ambient = "80 degC"
[feed.post]
[earth.post]
[earth.body]
to = "post"
resistance = "3 mohm"
[circuit.fan]
name = "Fan"
feed = "post"
earth = "body"
fuse = { kind = "blade", rating = "20 A" }
wire = [{ size = "2.5mm2", length = "2 m", zone = "bay", insulation = "pvc105" }]
load = [{ current = "8 A", kind = "motor" }]
"""


@pytest.mark.parametrize(("text", "printed"), [
    ("2.5 mm2", "2.5 mm²"), ("AWG 14", "AWG 14"), ("45degC", "45 °C"), ("size 2.5mm2, 3 mohm, 90 ohm", "size 2.5 mm², "
     "3 mΩ, 90 Ω"), ("coupe_16mm2", "coupe_16mm2"), ("ohms", "ohms"), ("", "")])
def test_a_text_of_the_plan_is_printed_with_units(text: str, printed: str) -> None:
    assert writing.as_printed(text) == printed


def test_comparisons_are_printed_with_units() -> None:
    before = parse_plan(PLAN)
    after = parse_plan(PLAN.replace("2.5mm2", "4 mm2").replace("80 degC", "85 degC").replace("3 mohm", "4 mohm"))
    told = [comparison_text(compare_plans(assess(before), assess(after)), ("one", "two")), limits_text(
        side_by_side(before, ["road", "aircraft"]), 120)]
    for words in ("wire 1 size: 2.5 mm² → 4 mm²", "ambient: 80 °C → 85 °C", "3 mΩ → 4 mΩ"):
        assert words in told[0]
    assert "2.5 mm²" in told[1]
    assert not [text for text in told if TYPED.search(text)]


def test_what_a_definition_brings_is_printed_with_units() -> None:
    told = [text for each in definitions().values() for text in (
        each.note, each.caution, *(text for facts in circuit_facts(each) for _, text in facts))]
    assert any("mm²" in text for text in told)
    assert [text for text in told if TYPED.search(text)] == []


def test_headings_of_a_form_are_printed_with_units() -> None:
    rows = Form(Session.of_text(PLAN), ("circuit", "fan")).rows()
    assert "2.5 mm², 2 m" in [row.value for row in rows if row.kind == "heading"]


def test_what_to_measure_in_a_loom_is_printed_with_units() -> None:
    text = (Path(fuseplan.looms.__file__).parent / "functions.toml").read_text(encoding="utf-8")
    assert "1 Ω" in text
    assert not TYPED.search(text)
