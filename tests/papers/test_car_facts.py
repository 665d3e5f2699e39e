"""The car as a whole, in the lines of the first page."""

from __future__ import annotations

import tomllib

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.papers.car_facts import car_facts
from fuseplan.planfile.starter import starter_plan
from fuseplan.quantities import writing
from tests.advice.worlds import around
from tests.plans import plan_of


@pytest.mark.parametrize("range_a", ["", 'range = ["6 A", "8 A"]'])
def test_how_long_the_car_stands_is_one_figure_on_the_first_page(range_a: str) -> None:
    """That of the finding where the currents entered are too much already."""
    assessment = assess(around(f"""
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "15 A", distance = "100 mm" }}
wire = [{{ length = "1 m", zone = "cabin", insulation = "pvc105", size = "2.5 mm2" }}]
earth = "battery_negative"
[[circuit.one.load]]
current = "6 A"
{range_a}
at = "14.2 V"
kind = "electronic"
evidence = "measured"
"""))
    (found,) = (each for each in assessment.findings if each.check == "standing-drain" and each.unit == "d")
    assert found.figure is not None
    (stands,) = (words for what, words in car_facts(assessment) if what == "Stands")
    assert stands.startswith(f"no: {writing.limit(found.figure, 'days')} until")


@pytest.mark.parametrize("strap", [True, False])
def test_a_car_without_a_strap_from_the_engine_is_not_said_to_start(strap: bool) -> None:
    """Its starter's current has no way back in the plan; with the strap it is worked out."""
    data = tomllib.loads(starter_plan("new", ["starter_main"]))
    data["battery"] |= {"cold_crank": "800 A", "capacity": "80 Ah"}
    data["alternator"] |= {"rated": "120 A", "low_speed": "70 A", "self_exciting": True}
    if not strap:
        data["earth"]["engine_block"].pop("wire")
    facts = dict(car_facts(assess(plan_of(data))))
    assert [facts[what].split(":")[0].split(",")[0] for what in ("Starts", "Charges")] == \
        ["yes" if strap else "not known"] * 2


@pytest.mark.parametrize(("stated", "charges"), [
    ({}, "not known: what excites the alternator is not said; once it charges, least to spare +"),
    ({"exciter": "alternator_exciter"}, "yes, in every condition; least to spare +"),
    ({"self_exciting": True}, "yes, in every condition; least to spare +")])
def test_a_car_is_not_said_to_charge_while_nothing_says_what_excites_its_alternator(stated: dict[str, object],
                                                                                    charges: str) -> None:
    data = tomllib.loads(starter_plan("new", ["starter_main", "alternator_exciter"]))
    data["battery"] |= {"cold_crank": "800 A", "capacity": "80 Ah"}
    data["alternator"].pop("exciter", None)
    data["alternator"] |= {"rated": "120 A", "low_speed": "70 A", **stated}
    assert dict(car_facts(assess(plan_of(data))))["Charges"].startswith(charges)
