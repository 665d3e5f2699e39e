"""Reports call circuits, feeds, earth points, conditions, looms and connectors by the names the plan gives them; an id
stands where it is to be entered, in brackets."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.papers.assumption_text import assumption_lines
from fuseplan.papers.columns import COLUMNS
from fuseplan.papers.findings import subject_words
from fuseplan.papers.layout import table
from fuseplan.papers.looms_text import looms_report, merge_report
from fuseplan.papers.power_text import power_text
from fuseplan.plan.part_names import owner_title
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import place
from fuseplan.planfile.read import parse_plan
from fuseplan.workspace.listing import Listing

PLAN = """fuseplan = 1
[battery]
capacity = "60 Ah"
cold_crank = "540 A"
[alternator]
rated = "70 A"
low_speed = "45 A"
feed = "zq_post"
earth = "zq_minus"
exciter = "zq_lamp"
[feed.zq_post]
name = "Battery post"
[feed.zq_bus]
name = "Headlamp bus"
from = "zq_post"
fuse = { kind = "strip", rating = "60 A", distance = "100 mm" }
wire = [{ size = "16 mm2", length = "1 m" }]
relay = { contact = "mini_40", coil_feed = "zq_post", driver = "switch", suppression = "diode" }
[earth.zq_minus]
name = "Minus post"
[earth.zq_block]
name = "Engine block"
to = "zq_minus"
engine = true
wire = [{ size = "16 mm2", length = "0.5 m" }]
[condition.zq_tow]
name = "Towing at night"
state = "running"
engine = "900 r/min"
when = ["tow"]
[circuit.zq_starter]
name = "Starter motor"
role = "starter"
feed = "zq_post"
earth = "zq_block"
wire = [{ size = "35 mm2", length = "1 m" }]
load = [{ current = "180 A", kind = "motor", when = ["crank"] }]
[circuit.zq_lamp]
name = "Charge lamp"
feed = "zq_bus"
earth = "zq_block"
wire = [{ size = "1 mm2", length = "1 m", end = { splice = "S1" } },
        { size = "1 mm2", length = "1 m", start = { splice = "S1" }, end = { connector = "zq_plug", pin = "3" } }]
load = [{ name = "Bulb", power = "60 W", at = "12 V", kind = "lamp", evidence = "measured" }]
[circuit.zq_drain]
name = "Clock"
feed = "zq_post"
earth = "zq_minus"
wire = [{ size = "1 mm2", length = "1 m" }]
load = [{ current = "6 mA", kind = "electronic" }]
[loom.zq_car]
name = "Car loom"
kind = "chassis"
wire = [{ size = "1 mm2", start = { connector = "zq_plug", pin = "1" } }]
[loom.zq_engine]
name = "Engine loom"
kind = "donor"
[connector.zq_plug]
name = "Bulkhead plug"
loom = "zq_car"
mates = "zq_half"
[connector.zq_plug.pin]
1 = { function = "charge lamp", signal = "signal", colour = "BU", feed = "zq_bus" }
2 = { colour = "GN", other_end = { connector = "zq_half", pin = "2" } }
3 = { function = "oil pressure lamp", signal = "supply_15", known = "measured", fate = "keep", splice = "S1" }
4 = { function = "earth", signal = "earth_31", earth = "zq_block", known = "measured", fate = "keep" }
[connector.zq_half]
name = "Engine half"
loom = "zq_engine"
cavities = 6
[connector.zq_half.pin]
1 = { function = "charge lamp", signal = "pulse", colour = "BU", known = "measured", fate = "keep" }
2 = { function = "charge lamp", colour = "GN", fate = "join", join_to = { connector = "zq_plug", pin = "2" } }
"""
TO_ENTER = re.compile(r"\((?:\w+ )?zq_\w+\)|\[zq_\w+\]|^ +type .*$", re.MULTILINE)


@pytest.mark.parametrize("report", ["power", "looms", "function", "one plug", "merge", "assumed"])
def test_a_part_with_a_name_is_called_by_it(report: str) -> None:
    assessment = assess(parse_plan(PLAN))
    text = {"power": lambda: power_text(assessment, loads=True), "looms": lambda: looms_report(assessment),
            "function": lambda: looms_report(assessment, by="function"),
            "one plug": lambda: looms_report(assessment, "zq_plug"),
            "merge": lambda: merge_report(assessment),
            "assumed": lambda: "\n".join(assumption_lines(assessment.assumptions, assessment.plan, 100))}[report]()
    named = {"power": ("Charge lamp", "Headlamp bus", "'Clock'", "Towing at night"),
             "assumed": ("Charge lamp", "feed: Headlamp bus"),
             "merge": ("Car loom", "'Bulkhead plug'")}.get(report, ("'Bulkhead plug'", "Car loom"))
    for name in named:
        assert name in " ".join(text.split()), name
    assert [line for line in TO_ENTER.sub("", text).splitlines() if "zq" in line] == []


def test_the_circuits_table_calls_a_feed_by_its_name_where_that_fits() -> None:
    """Else by its id: cut in two or folded over four lines a name says less. It is found by both."""
    assessment = assess(parse_plan(PLAN.replace("Headlamp bus", "Headlamp bus behind the main relay")))
    wide, narrow = ("\n".join(table(assessment.circuits, COLUMNS, room)[0]) for room in (140, 72))
    assert "Headlamp bus behind the main relay" in wide
    assert "zq" not in wide
    assert "zq bus" in narrow
    assert "Battery post" in narrow
    for text in ("headlamp bus", "zq_bus"):
        assert "zq_lamp" in Listing(text).ids(assessment)
        assert "zq_starter" not in Listing(text).ids(assessment)


def test_an_earth_point_is_called_one_wherever_a_part_is_named_with_its_kind() -> None:
    """As a fuse box is: in lists of wires, above findings, in what a refused plan is told."""
    assessment = assess(parse_plan(PLAN))
    about = replace(assessment.findings[0], subject_kind="earth", subject="zq_block")
    for said in (owner_title(assessment.plan, ("earth", "zq_block")), subject_words(about, assessment),
                 place(("earth", "zq_block")), place(("earth", "zq_block", "wire", 0)),
                 *(problem for _, problem in reference_problems({"earth": {"a": {}, "b": {}}})),
                 *(problem for _, problem in reference_problems({"earth": {"a": {"to": "a"}}}))):
        assert re.search(r"\bearth", said), said
        assert not re.search(r"\bearths?\b(?! point)", said.replace("`earth`", "")), said
