"""Whatever the plan and whatever the meter shows: the bench answers, and what it writes into a plan is a plan."""

from __future__ import annotations

import pytest

from fuseplan.bench.evidence import acceptance, accepting
from fuseplan.bench.points import points
from fuseplan.bench.ready import ready
from fuseplan.bench.sheet import sheet_of
from fuseplan.bench.storing import new_reading
from fuseplan.bench.verdicts import LEVEL_WORDS, verdict
from fuseplan.checks.assessment import assess
from fuseplan.errors import EditError
from fuseplan.papers.bench_text import ready_lines, sheet_lines
from fuseplan.papers.paper_set import papers_of
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.read import parse_plan
from tests import odd_plans
from tests.hostile import hostile, plan_data
from tests.plans import plan_of
from tests.small_coupe import COUPE

TAKEN = ("reverse", "radio", "horn", "fans", "side_left", "washer")
PAPERS = ("test-sheet", "first-power-card", "drain-card", "ready-list", "acceptance-record", "diagnosis-note")
SHORT = {
    "empty": "fuseplan = 1\n",
    "no feed": "fuseplan = 1\n[circuit.a]\n[[circuit.a.load]]\nkind = 'lamp'\n",
    "no wire": "fuseplan = 1\n[feed.a]\n[circuit.a]\nfeed = 'a'\n[[circuit.a.load]]\ncurrent = '3 A'\n",
    "more than any battery": "fuseplan = 1\n[feed.a]\n[earth.b]\n[circuit.a]\nfeed = 'a'\nearth = 'b'\n"
    "wire = [{ size = '1 mm2', length = '1 m' }]\nfuse = { kind = 'blade', rating = '10 A' }\n"
    "[[circuit.a.load]]\ncurrent = '900 A'\nkind = 'electronic'\nat = '12 V'\n[[circuit.a.load]]\nkind = 'coil'\n",
}
ODD = ("conditions", "earths", "fused_feeds", "groups", "one_run", "relay_ring", "switched_feeds", "too_much")


@pytest.mark.one_in(4, first=1)
@pytest.mark.parametrize("name", [*SHORT, *ODD, "hostile"])
def test_sheet_list_and_papers_of_every_plan(name: str) -> None:
    plan = parse_plan(SHORT[name]) if name in SHORT else plan_of(
        plan_data(hostile) if name == "hostile" else getattr(odd_plans, name)(6))
    assessment = assess(plan)
    sheet = sheet_of(assessment)
    assert all(len(line) <= 80 for line in sheet_lines(sheet, 80) if " " in line.strip())
    assert ready_lines(ready(assessment), 80)
    assert [paper.name for paper in papers_of(assessment, PAPERS)]
    for section in sheet:
        for row in section.rows:
            assert row.expected.known or row.expected.words


READINGS = ["0", "0.001", "1", "13", "500", "-2", "open"]
SHARE = 3
"""In an ordinary run each reading is taken at one point in so many, and each point takes some of the readings."""


@pytest.mark.one_in(3)
@pytest.mark.share
@pytest.mark.parametrize("text", READINGS)
def test_every_point_takes_every_reading_or_says_why_not(text: str, in_full: bool) -> None:
    assessment, taken, refused = assess(parse_plan(COUPE)), 0, 0
    unsaid: list[tuple[str | None, str]] = []
    fitting = [address for address, point in points(assessment).items()
               if not (text == "open" and point.unit != "ohm") and not (text == "-2" and point.unit == "ohm")]
    for address in fitting if in_full else fitting[READINGS.index(text) % SHARE::SHARE]:
        for condition in (None, "idle_wet_night"):
            try:
                found = new_reading(assessment, address, text, condition)
            except EditError as error:
                unsaid.append((condition, str(error)))
                continue
            said = verdict(assessment, found.reading)
            assert said.level in LEVEL_WORDS
            assert said.words or said.level == "ok"
            assert all(each.strip() for each in found.doubts)
            taken += 1
            try:
                assert acceptance(assessment, found.reading, (found.reading,)).changes
            except EditError:
                refused += 1
    assert all(condition is None and "say in which condition" in words for condition, words in unsaid)
    assert taken > 20
    assert refused


def test_whatever_is_taken_over_leaves_a_plan() -> None:
    document, done = PlanDocument.from_text(COUPE), 0
    assessment = assess(document.plan)
    for address, point in points(assessment).items():
        if point.kind != "circuit" or point.what not in ("current", "load_current") or point.subject not in TAKEN:
            continue
        found = new_reading(assessment, address, "0.7" if point.unit == "A" else "7")
        try:
            accepted = acceptance(assessment, found.reading)
        except EditError:
            continue
        copy = PlanDocument.from_text(COUPE)
        copy.change([found.change_in(copy.plan)])
        copy.change(accepting(accepted))
        load = copy.plan.circuit[point.subject].load[point.load]
        assert load.evidence == "measured"
        assert load.current is not None
        assert load.power is None
        done += 1
    assert done >= 6
