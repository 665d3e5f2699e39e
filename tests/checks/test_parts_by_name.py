"""Findings, their fixes and the questions call a part by its name: an id stands only in brackets behind it, and so does
the id of what is to be entered, such as a relay contact."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.rule import all_rules
from fuseplan.plan.part_names import in_words, names_masked, to_enter
from fuseplan.plan.references import ends_naming, names_in
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, plan_of
from tests.checks.check_plans import failing

KINDS = ("zone", "run", "feed", "earth", "circuit", "loom", "connector", "fuse_box")
MARK = "zq_"
IN_BRACKETS = re.compile(r" \(\w+\)")
KEYS = re.compile(r"`[^`]*`|\b(?:circuit|feed|earth|alternator|vehicle)\.\S+")
"""Keys of the plan and whole addresses: to be typed as they stand."""


def named(text: str) -> dict[str, Any]:
    """A plan in which every part has an id no word of a sentence has, and a name."""
    data: dict[str, Any] = tomllib.loads(text)
    ends = [path for connector in data.get("connector", {}) for path in ends_naming(data, connector)]
    for path, _, kind in [*names_in(data), *((path, "", "connector") for path in ends)]:
        part = data
        for step in path[:-1]:
            part = part[step]
        if kind in KINDS and part[path[-1]] in data.get(kind, {}):
            part[path[-1]] = MARK + part[path[-1]]
    for kind in KINDS:
        if kind in data:
            data[kind] = {MARK + name: {"name": f"Part {number}, a {kind.replace('_', ' ')}", **part}
                          for number, (name, part) in enumerate(data[kind].items())}
    for circuit in data.get("circuit", {}).values():
        for number, load in enumerate(circuit.get("load", ())):
            load.setdefault("name", f"Load {number}; and more")
    for condition in data.get("condition", {}).values():
        condition.setdefault("name", "Wet: in town")
    return data


def assessed(text: str) -> Assessment:
    return assess(plan_of(named(text), "", "plan"))


def said(assessment: Assessment) -> list[str]:
    return [*(text for each in assessment.findings for text in (each.message, each.fix)),
            *(each.words for each in assessment.unjudged),
            *(text for each in assessment.not_said for text in (each.what, each.why_it_matters, each.detail)
              if text != each.proposed)]


PLANS = {**{name: failing(name) for name in all_rules()},
         **{path.stem: path.read_text(encoding="utf-8") for path in sorted(shipped_folder("examples").glob("*.toml"))}}


@pytest.mark.parametrize("plan", PLANS)
def test_an_id_stands_in_brackets_alone(plan: str) -> None:
    assessment = assessed(PLANS[plan])
    texts = said(assessment)
    assert texts
    if plan in all_rules():
        assert plan in {each.check for each in assessment.findings}, "with names it no longer fails"
    for text in texts:
        plain = IN_BRACKETS.sub("", KEYS.sub("", text))
        assert not re.findall(r"\w*_\w+", plain), text


def test_a_name_is_quoted_and_an_id_stands_where_there_is_none() -> None:
    plan = parse_plan('fuseplan = 1\n[feed.bus_1]\nname = "Cabin fuses: left, right"\n[feed.bus_2]\nfrom = "bus_1"\n')
    assert in_words(plan, "feed", "bus_1") == "'Cabin fuses: left, right'"
    assert in_words(plan, "feed", "bus_2") == "bus_2"
    assert in_words(plan, "alternator", "") == in_words(plan, "alternator", "alternator") == "the alternator"
    assert to_enter(plan, "feed", ["bus_1", "bus_2"]) == "'Cabin fuses: left, right' (bus_1) or bus_2"


def test_names_are_masked_and_apostrophes_are_no_quotes() -> None:
    text = "fit the maker's fuse at 'Left; or right' or at the driver's seat: see 'A, B'"
    assert names_masked(text) == text.replace("'Left; or right'", "." * 16).replace("'A, B'", "." * 6)
