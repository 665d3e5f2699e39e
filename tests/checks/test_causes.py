"""Findings of one entry have one cause: the change named first removes the leading one and all that stand under it."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.causes import remedied_at
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder

COUPE = tomllib.loads((shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8"))


def put(data: Any, path: str, value: str) -> Any:
    """A copy of a plan's data with one key set."""
    key, _, rest = path.partition(".")
    if isinstance(data, list):
        return [put(each, rest, value) if number == int(key) else each for number, each in enumerate(data)]
    return {**data, key: value if not rest else put(data[key], rest, value)}


@pytest.fixture(scope="module")
def coupe() -> Assessment:
    return assess(Plan.model_validate(COUPE))


@pytest.mark.parametrize(("path", "value", "checks"), [
    ("circuit.boot_lamp.fuse.rating", "7.5 A", {"fuse-exceeds-wire", "no-trip-far-end"}),
    ("circuit.lambda.wire.1.insulation", "xlpe125", {"fuse-exceeds-wire", "insulation-too-weak"}),
    ("alternator.rated", "145 A", {"alternator-too-small", "discharge-while-running", "alternator-peak-overload"}),
])
def test_the_change_named_first_removes_the_cause_and_its_followers(
        coupe: Assessment, path: str, value: str, checks: set[str]) -> None:
    leading = [each for each in coupe.findings if each.cause is None and remedied_at(each) == path]
    assert len(leading) == 1
    entry = [leading[0], *(coupe.findings[number] for number in leading[0].follows)]
    assert {each.check for each in entry} == checks
    plan = put(COUPE, path, value)
    if path == "alternator.rated":
        # A machine of that size has a printed output of its own at idle; the small one's no longer holds.
        plan["alternator"].pop("label", None)
        plan["alternator"].pop("low_speed", None)
    after = assess(Plan.model_validate(plan)).findings
    left = {(each.check, each.subject) for each in after if not each.measure}
    assert not left & {(each.check, each.subject) for each in entry}


def test_changes_of_different_keys_are_different_causes(coupe: Assessment) -> None:
    """A holder made for less and a wire that is too thin are two faults, though one part has both."""
    fans = [each for each in coupe.findings if each.subject == "fans" and each.level == "danger"]
    assert {each.check for each in fans} == {"connection-overloaded", "fuse-exceeds-wire"}
    assert all(each.cause is None for each in fans)
