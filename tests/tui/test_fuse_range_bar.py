"""The fuse range is drawn whatever is known of load, wire and rating, also while a plan is only half entered."""

from __future__ import annotations

from itertools import product

import pytest

from fuseplan.checks import assess
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.planfile.read import parse_plan
from fuseplan.tui.widgets.fuse_range_bar import bar_content

PLAN = """
fuseplan = 1
[zone.bay]
ambient = "90 degC"
[feed.post]
zone = "bay"
[earth.negative]
[circuit.lamp]
feed = "post"
fuse = {{ kind = "blade"{rating} }}
wire = [{{ size = "{size}", length = "3 m", zone = "bay"{insulation} }}]
earth = "negative"
[[circuit.lamp.load]]
evidence = "plate"{drawn}
"""


def drawn(size: str, insulation: str, rating: str, load: str) -> JudgedCircuit:
    text = PLAN.format(size=size, insulation=insulation, rating=rating, drawn=load)
    return assess(parse_plan(text)).circuit("lamp")


@pytest.mark.parametrize("insulation", ["", ', insulation = "xlpe125"'])
@pytest.mark.parametrize("rating", ["", ', rating = "10 A"'])
def test_every_combination_of_known_and_unknown_is_drawn(insulation: str, rating: str) -> None:
    loads = ("", '\npower = "110 W"\nat = "12 V"', '\npower = "110 W"\nat = "12 V"\nkind = "lamp"')
    for size, load in product(("0.5 mm2", "2.5 mm2"), loads):
        view = drawn(size, insulation, rating, load)
        for width in (30, 40, 78, 118):
            first, second = bar_content(view, width).plain.split("\n")
            assert len(second) <= width
            assert ("no fuse" in first) is (view.fuse is not None and (view.fuse.range_a.is_empty or not insulation))


def test_a_wire_whose_insulation_the_heat_leaves_no_current_is_not_called_too_thin() -> None:
    first = bar_content(drawn("2.5 mm2", "", "", '\npower = "110 W"\nat = "12 V"\nkind = "lamp"'), 118).plain
    assert "no fuse fits: insulation too weak" in first


@pytest.mark.parametrize(("own", "branch", "most", "said"), [
    ("1 mm2", "6 mm2", "", "wire too thin for the load"), ("16 mm2", "0.5 mm2", "", "a wire behind it too thin"),
    ("16 mm2", "6 mm2", '\nmax_fuse = "7.5 A"', "equipment allows less than the load needs")])
def test_what_no_fuse_fits_for_is_the_part_that_allows_least(own: str, branch: str, most: str, said: str) -> None:
    plan = PLAN.replace('[circuit.lamp]\nfeed = "post"\nfuse = {{ kind = "blade"{rating} }}\n', """
[feed.bus]
from = "post"
fuse = {{ kind = "blade"{rating} }}
wire = [{{ size = "OWN", length = "1 m", zone = "bay"{insulation} }}]
[circuit.lamp]
feed = "bus"
""".replace("OWN", own)) + most
    text = plan.format(size=branch, insulation=', insulation = "xlpe125"', rating="",
                       drawn='\ncurrent = "20 A"\nat = "12 V"\nkind = "resistive"')
    bus = next(each for each in assess(parse_plan(text)).feeds if each.id == "bus")
    first, _ = bar_content(bus, 140).plain.split("\n")
    assert f"no fuse fits: {said}" in first
    assert ("largest for equipment" in first) is bool(most)
