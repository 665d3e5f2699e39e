"""A switch with the starter behind it, such as a battery isolator, is held against what the starter draws: by its
maker's figure for those seconds, else by five times its rating, and one without a rating is asked for both."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.plan.model import Plan
from tests.checks.check_plans import BASE
from tests.plans import circuit_text, load

CHECK = "switch-overloaded"
CABLE = [{"size": "35 mm2", "length": "0.5 m", "zone": "cabin", "insulation": "xlpe125", "cover": "sleeve"}]
CAR = tomllib.loads(BASE + circuit_text(
    "starter", load("180 A", at="10 V", kind="motor", when=["crank"], use="momentary"), feed="isolated", earth="engine",
    role="starter", drop_class="starter_main", wire=CABLE))
del CAR["alternator"]  # what a flat battery takes of one passes an isolator in the earth lead, too
CAR["feed"]["isolated"] = {"from": "battery_post", "zone": "cabin", "role": "starter_cable", "wire": CABLE}


def judged(kind: str, switch: dict[str, Any]) -> Any:
    """The car with a switch before the starter: in the supply, or in the earth lead of the engine."""
    data = copy.deepcopy(CAR)
    data["feed" if kind == "feed" else "earth"]["isolated" if kind == "feed" else "engine"]["switch"] = switch
    return assess(Plan.model_validate(data))


def found(kind: str, switch: dict[str, Any]) -> list[Any]:
    return [each for each in judged(kind, switch).findings if each.check == CHECK and not each.measure]


@pytest.mark.parametrize("kind", ["feed", "earth"])
def test_one_too_small_for_the_starter_is_a_danger_and_the_named_figure_removes_it(kind: str) -> None:
    [finding] = found(kind, {"rating": "30 A"})
    assert finding.level == "danger"
    assert finding.figure == pytest.approx(180.0, rel=0.05)
    assert finding.limit == pytest.approx(5 * 30.0)
    assert finding.fields[0].endswith(".switch.cranking_rating")
    assert not found(kind, {"rating": "30 A", "cranking_rating": "250 A"})
    assert not found(kind, {"rating": "40 A"})
    assert found(kind, {"rating": "100 A", "cranking_rating": "150 A"}), "its maker's own figure counts"


@pytest.mark.parametrize("current", ["180 A", "900 A", "2000 A", "3000 A"])
def test_what_it_is_asked_to_carry_can_be_entered(current: str) -> None:
    """Up to the largest starter a plan takes, a guess at its worst case."""
    data = copy.deepcopy(CAR)
    data["circuit"]["starter"]["load"][0] |= {"current": current, "evidence": "guess"}
    data["feed"]["isolated"]["switch"] = {"rating": "10 A"}
    [finding] = [each for each in assess(Plan.model_validate(data)).findings if each.check == CHECK]
    data["feed"]["isolated"]["switch"]["cranking_rating"] = f"{1.51 * finding.figure:.0f} A"
    assert CHECK not in {each.check for each in assess(Plan.model_validate(data)).findings}


@pytest.mark.parametrize("kind", ["feed", "earth"])
def test_one_without_a_rating_is_asked_for_what_it_carries_while_the_starter_turns(kind: str) -> None:
    [asked] = [each for each in judged(kind, {}).not_said if each.kind == "switch_rating"]
    assert asked.safety
    assert "while the starter turns" in asked.what


def test_a_starter_behind_another_way_asks_nothing_of_it() -> None:
    data = copy.deepcopy(CAR)
    data["feed"]["isolated"]["switch"] = {"rating": "15 A"}
    data["circuit"]["starter"]["feed"] = "battery_post"
    assert CHECK not in {each.check for each in assess(Plan.model_validate(data)).findings}
