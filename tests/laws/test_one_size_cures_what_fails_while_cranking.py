"""A strap or a wire too thin while the engine is cranked is one cause with one size: fitted, it removes what fails for
it and what is told with it, and a proposal fits it."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.checks.fixes import copper_mm2
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from tests.plans import path_of, plan_of

CHECK = "low-cranking-voltage"
THIN = [("boot_battery", "earth", "engine_block", "6 mm2", ""), ("boot_battery", "earth", "boot_stud", "6 mm2", ""),
        ("boot_battery", "earth", "boot_stud", "16 mm2", ""), ("coupe_turbo", "earth", "engine_block", "16 mm2", ""),
        ("dynamo_saloon", "earth", "chassis", "6 mm2", ""), ("track_car", "earth", "engine_block", "16 mm2", ""),
        ("track_car", "earth", "engine_block", "6 mm2", ""), ("van_24v", "earth", "engine_block", "16 mm2", ""),
        ("coupe_turbo", "circuit", "ecu", "0.5 mm2", "8 m"), ("coupe_turbo", "circuit", "ecu", "0.75 mm2", "8 m"),
        ("coupe_turbo", "circuit", "ecu", "0.75 mm2", "14 m"), ("track_car", "circuit", "ecu", "0.5 mm2", "30 m")]


def thinned(name: str, kind: str, part: str, size: str, length: str) -> Plan:
    data: dict[str, Any] = copy.deepcopy(
        tomllib.loads((shipped_folder("examples") / f"{name}.toml").read_text(encoding="utf-8")))
    for segment in data[kind][part]["wire"]:
        segment["size"] = size
        if length:
            segment.pop("along", None)
            segment["length"] = length
    return plan_of(data)


def fitted(plan: Plan, finding: Finding) -> list[Finding]:
    """What is left with what a finding names."""
    return list(assess(changed(plan, {path_of(path): value for path, value in finding.values})).findings)


def together(findings: tuple[Finding, ...]) -> Iterator[tuple[Finding, Finding]]:
    """What fails while cranking, each with the finding it is told with, or itself."""
    for each in findings:
        if each.check == CHECK and each.values:
            yield each, each if each.cause is None else findings[each.cause]


@pytest.mark.parametrize(("name", "kind", "part", "size", "length"), THIN)
def test_the_size_named_removes_what_follows(name: str, kind: str, part: str, size: str, length: str) -> None:
    plan = thinned(name, kind, part, size, length)
    found = list(together(assess(plan).findings))
    assert found
    for each, cause in found:
        for named in (each, cause):
            left = [other for other in fitted(plan, named) if other.identity == each.identity
                    and other.measure <= each.measure]
            assert not left, (named.fix, [other.message for other in left])


@pytest.mark.parametrize(("name", "kind", "part", "size", "length"), THIN)
def test_it_is_told_with_the_drop_of_the_same_wire(name: str, kind: str, part: str, size: str, length: str) -> None:
    """No entry of its own for a wire for which another names a size no less."""
    findings = assess(thinned(name, kind, part, size, length)).findings
    for number, each in enumerate(findings):
        if each.check != CHECK or each.cause is not None:
            continue
        for other in findings[:number] + findings[number + 1:]:
            sizes = dict(other.values)
            assert other.cause is not None or other.measure > each.measure or not each.values or not all(
                path in sizes and copper_mm2(sizes[path]) >= copper_mm2(size) for path, size in each.values), other.fix


@pytest.mark.parametrize(("name", "kind", "part", "size", "length"), THIN)
def test_a_proposal_fits_it(name: str, kind: str, part: str, size: str, length: str) -> None:
    plan = thinned(name, kind, part, size, length)
    proposal = propose(plan, limit_set(plan.vehicle.limits), look_for_savings=False)
    sizes = {".".join(map(str, each.path)): each.new_words for each in proposal.changes}
    for each in proposal.before.findings:
        for path, named in each.values if each.check == CHECK and not each.measure else ():
            assert copper_mm2(sizes[path]) >= copper_mm2(named), each.fix
    assert not [each for each in proposal.after.findings if each.check == CHECK and not each.measure]


def test_a_strap_for_which_no_size_is_named_is_not_compared_with_itself() -> None:
    """The engine's strap to the battery's post is the battery's earth cable."""
    first = next(each for each in assess(thinned("coupe_turbo", "earth", "engine_block", "50 mm2", "16 m")).findings
                 if each.check == CHECK and each.subject == "engine_block")
    assert not first.values
    assert first.fix.startswith("a thicker or shorter strap")
