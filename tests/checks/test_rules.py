"""Every check against its own two plans in ``plans/``, whoever wrote it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from fuseplan.checks import LEVELS, Assessment, assess
from fuseplan.checks.rule import all_rules
from fuseplan.plan.references import ENTRIES
from fuseplan.planfile.read import parse_plan
from tests.checks.check_plans import BASE, FOLDER, failed, passing, whole

RULES = sorted(all_rules())
ROOTS = {*ENTRIES, "battery", "alternator", "vehicle"}


def assessed(text: str) -> Assessment:
    """A fragment behind the base plan, or a whole plan."""
    return assess(parse_plan(whole(text)))


def test_the_loop_is_complete() -> None:
    package = Path(__import__("fuseplan.checks.rules", fromlist=["x"]).__file__).parent
    modules = {path.stem.replace("_", "-") for path in package.glob("*.py") if path.stem != "__init__"}
    assert set(RULES) == modules
    assert len(RULES) >= 20


def test_every_check_has_a_plan_that_passes_and_one_that_fails() -> None:
    wanted = {f"{name}.{kind}.toml" for name in RULES for kind in ("passes", "fails")}
    assert {path.name for path in FOLDER.iterdir()} == wanted


def test_the_base_passes_every_check() -> None:
    assert assessed(BASE).findings == ()


@pytest.mark.parametrize("name", RULES)
def test_texts(name: str) -> None:
    rule = all_rules()[name]
    assert rule.name == name
    assert rule.level in LEVELS
    for text in (rule.title, rule.source, rule.caution, rule.fix, rule.words):
        assert text.strip()
    fails, _, passes = rule.example.partition("; passes: ")
    assert fails.removeprefix("fails: ") not in ("", fails)
    assert passes
    assert len(rule.words.partition("\n")[0]) <= 120
    assert rule.words.partition("\n")[0].endswith(".")


@pytest.mark.parametrize("name", RULES)
def test_passes(name: str) -> None:
    found = [finding for finding in assessed(passing(name)).findings if finding.check == name]
    assert found == []


@pytest.mark.parametrize("name", RULES)
def test_fails(name: str) -> None:
    assessment = failed(name)
    found = [finding for finding in assessment.findings if finding.check == name and not finding.measure]
    assert found, f"{name} finds nothing in the plan that fails it"
    for finding in found:
        assert finding.limits == assessment.limit_set.name
        for text in (finding.source, finding.caution, finding.fix, finding.message):
            assert text.strip()
        for number in (finding.figure, finding.limit):
            assert number is None or math.isfinite(number)
        assert finding.figure is None or finding.limit is None or finding.unit
        assert not any(word in finding.message + finding.fix for word in ("nan", "inf ", "None"))
        for path in finding.fields:
            assert path.split(".")[0] in ROOTS, path


@pytest.mark.parametrize("name", RULES)
def test_what_a_finding_is_about_exists(name: str) -> None:
    assessment = failed(name)
    plan = assessment.plan
    named = {"circuit": plan.circuit, "feed": plan.feed, "earth": plan.earth, "run": plan.run,
             "fuse_box": plan.fuse_box, "connector": plan.connector}
    for finding in assessment.findings:
        if finding.subject_kind in named:
            assert finding.subject in named[finding.subject_kind]
        else:
            assert finding.subject == finding.subject_kind
