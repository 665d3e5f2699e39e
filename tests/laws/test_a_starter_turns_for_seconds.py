"""In a circuit whose stated role is the starter, what is on only while cranking is momentary, as if that were stated.

A role that is only proposed from a name says nothing of it, nor does any other role, a use that is stated, or a load
that is on at other times too.
"""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.plan.roles import roles
from fuseplan.planfile.plain import with_value, without
from tests.laws.test_silence_never_helps import GOOD

EXAMPLES = [each for each in sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
            if 'role = "starter"' in each.read_text(encoding="utf-8")]
USE = ("circuit", "starter", "load", 0, "use")
THIN = with_value(tomllib.loads(GOOD), ("circuit", "starter", "wire", 0, "size"), "25 mm2")
"""A cable that carries the starter for seconds, not for ever."""


def judged(data: dict[str, Any]) -> Assessment:
    return assess(Plan.model_validate(data))


def use_of(data: dict[str, Any]) -> str:
    return judged(data).circuit("starter").use_of(0)


def told(assessment: Assessment) -> dict[str, Any]:
    """All that is said of a plan, but for what was assumed."""
    return {key: each for key, each in assessment.to_dict().items() if key != "assumptions"}


def starters(data: dict[str, Any]) -> dict[str, Any]:
    """A plan without the use of its starters, which states that they are momentary."""
    found = copy.deepcopy(data)
    for circuit in found["circuit"].values():
        for load in circuit.get("load", ()):
            if circuit.get("role") == "starter":
                assert load.pop("use") == "momentary"
    return found


@pytest.mark.parametrize("path", [None, *EXAMPLES], ids=lambda path: "thin cable" if path is None else path.stem)
def test_the_role_says_what_the_use_says(path: Path | None) -> None:
    stated = THIN if path is None else tomllib.loads(path.read_text(encoding="utf-8"))
    assert told(judged(starters(stated))) == told(judged(stated))


def test_a_proposal_is_the_same() -> None:
    stated = without(THIN, ("circuit", "starter", "wire", 0, "size"))
    first, second = (propose(Plan.model_validate(each), limit_set("road")) for each in (stated, starters(stated)))
    assert first.changes == second.changes != ()


@pytest.mark.parametrize("role", [None, *(each for each in roles() if each != "starter")])
def test_no_other_role_says_so_and_none_that_is_only_proposed(role: str | None) -> None:
    place = ("circuit", "starter", "role")
    data = without(without(THIN, USE), place) if role is None else with_value(without(THIN, USE), place, role)
    assert use_of(data) == "continuous"
    if role is None:
        assert "wire-overloaded" in {each.check for each in judged(data).findings_for("circuit", "starter")}


@pytest.mark.parametrize("use", ["continuous", "prolonged", "intermittent"])
def test_a_use_that_is_stated_holds(use: str) -> None:
    assert use_of(with_value(THIN, USE, use)) == use


@pytest.mark.parametrize("when", [["always"], ["engine"], ["crank", "night"], ["hazard"]])
def test_what_is_on_at_other_times_is_continuous(when: list[str]) -> None:
    data = without(with_value(THIN, ("circuit", "starter", "load", 0, "when"), when), USE)
    assert use_of(data) == "continuous"
    assert "wire-overloaded" in {each.check for each in judged(data).findings_for("circuit", "starter")}
    assert not [each for each in judged(data).assumptions if each.key == ".".join(map(str, USE))]


def test_what_its_feed_has_only_while_cranking_is_on_only_then() -> None:
    data = without(without(THIN, USE), ("circuit", "starter", "load", 0, "when"))
    data["feed"]["button"] = {"from": "post", "zone": "bay", "live": ["crank"], "switch": {"rating": "200 A"},
                              "wire": data["circuit"]["starter"]["wire"]}
    assert use_of(data) == "continuous"
    assert use_of(with_value(data, ("circuit", "starter", "feed"), "button")) == "momentary"
