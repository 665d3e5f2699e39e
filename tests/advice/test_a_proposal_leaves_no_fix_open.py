"""After a proposal no finding remains that a rating, a size, an insulation or a relay named by it takes away without
another finding: what check advises and propose could have fitted is fitted, what asks for a reading included."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.advice import propose
from fuseplan.advice.edit import changed
from fuseplan.checks import assess
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.engine.stock import ladder, usual_ratings
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.plan.references import Path as Place
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.quantities import writing
from fuseplan.tables import relays
from tests.library.test_a_new_plan_warns_of_nothing import USUAL, with_its_examples
from tests.plans import path_of

EXAMPLES = Path(__file__).parents[2] / "examples"
INSULATIONS = ("pvc105", "xlpe125", "etfe150")


def keys(assessment: Assessment) -> dict[tuple[str, str, str], bool]:
    """Findings above advice or to be measured, and whether they are certain."""
    return {(each.check, each.subject_kind, each.subject): not each.measure for each in assessment.findings
            if each.measure or each.level != "advice"}


def values(assessment: Assessment, finding: Finding) -> Iterator[dict[Place, object]]:
    """What the fix of a finding may be taken to name: its own values, or another rating, insulation or contact where it
    leads. What passes as entered is measured before a wire is replaced together with its fuse, and before a fuse is
    bought that is on no shelf for what it takes at switch-on."""
    is_start = finding.measure and finding.check == "blows-at-switch-on"
    if finding.values and not (finding.measure and len(finding.values) > 1) and not is_start:
        yield {path_of(field): value for field, value in finding.values}
    fuses = {".".join(part for part in (*row.owner, "fuse", "rating") if part): row.fuse
             for row in assessment.results.network.fuses}
    for field in finding.fields:
        if field in fuses:
            steps = (usual_ratings if is_start else ladder)(fuses[field].kind)
            yield from ({path_of(field): writing.rating(step)} for step in steps)
        elif field.endswith(".insulation"):
            yield from ({path_of(field): words} for words in INSULATIONS)
        elif field.endswith(".relay.contact"):
            yield from ({path_of(field): name} for name in relays.CONTACTS)


def left_open(plan: Plan) -> Iterator[tuple[str, str, object]]:
    """Findings that a proposal leaves and one value takes away without another finding."""
    found = propose(plan, limit_set("road"), look_for_savings=False)
    had = keys(found.after)
    said = {(each.check, each.subject_kind, each.subject) for each in found.collisions}
    for finding in found.after.findings:
        key = (finding.check, finding.subject_kind, finding.subject)
        if key not in had or key in said:
            continue
        for edit in values(found.after, finding):
            then = keys(assess(changed(found.plan, edit), limit_set("road")))
            if key not in then and all(name in had and (had[name] or not certain) for name, certain in then.items()):
                yield finding.check, finding.subject, edit


@pytest.mark.parametrize("names", [
    ("lambda_wide_band", "main_beams", "horn", "heated_rear_window"),
    pytest.param((*USUAL, "lambda_wide_band"), marks=pytest.mark.long)], ids=["few", "thirty"])
def test_a_first_plan_is_fitted_for_its_worst_case(names: tuple[str, ...]) -> None:
    plan = parse_plan(with_its_examples(starter_plan("new", names)))
    assert propose(plan, limit_set("road"), look_for_savings=False).changes
    assert list(left_open(plan)) == []


def test_a_cold_lambda_heater_gets_the_fuse_that_check_names() -> None:
    plan = parse_plan(with_its_examples(starter_plan("new", ("lambda_wide_band",))))
    found = propose(plan, limit_set("road"), look_for_savings=False)
    assert [change.new for change in found.changes if change.path[-1] == "rating"] == ["7.5 A"]
    assert not [each for each in found.after.findings if each.check == "blows-at-switch-on"]


@pytest.mark.parametrize("name", ["track_car", "boot_battery", "dynamo_saloon", "van_24v", "six_volt_tourer",
                                  pytest.param("coupe_turbo", marks=pytest.mark.long)])
def test_no_example_keeps_a_finding_that_a_value_on_file_takes_away(name: str) -> None:
    assert list(left_open(read_plan(EXAMPLES / f"{name}.toml"))) == []
