"""A strap in which the starter loses too much is one fault: control units and coils that drop out while cranking for
it are told with it, and no other feed, battery or starter cable is bought for them."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.starter import starter_plan
from tests.plans import plan_of


def data_of(name: str) -> dict[str, Any]:
    if name != "new":
        return tomllib.loads((shipped_folder("examples") / f"{name}.toml").read_text(encoding="utf-8"))
    data = tomllib.loads(starter_plan("car", ["starter_main", "ecu_main", "ecu_keep_alive", "ignition_coils"]))
    data["battery"] |= {"cold_crank": "540 A", "capacity": "60 Ah"}
    return data


def cranking(data: dict[str, Any]) -> list[Finding]:
    return [each for each in assess(plan_of(data)).findings
            if each.check == "low-cranking-voltage" and each.subject_kind in ("circuit", "feed") and not each.measure]


@pytest.mark.parametrize(("name", "strap"), [("new", "engine_block"), ("coupe_turbo", "engine_block")])
def test_what_a_thin_strap_starves_is_told_with_it(name: str, strap: str) -> None:
    good = data_of(name)
    thin = copy.deepcopy(good)
    thin["earth"][strap]["wire"] = [
        thin["earth"][strap]["wire"][0] | {"size": "10 mm2", "length": "6 m"}]
    thin["earth"][strap]["wire"][0].pop("along", None)
    known = {each.subject for each in cranking(good)}
    starved = [each for each in cranking(thin) if each.subject not in known]
    assert starved
    findings = assess(plan_of(thin)).findings
    for each in starved:
        key = f"earth.{strap}.wire.0.size"
        assert each.fix.startswith("fit "), (each.subject, each.fix)
        assert [path for path, _ in each.values] == [key]
        assert each.cause is not None
        assert findings[each.cause].fields[0] == each.fields[0] == key
        assert dict(findings[each.cause].values) == dict(each.values)


@pytest.mark.parametrize("name", ["new", "coupe_turbo"])
def test_no_strap_is_named_where_it_is_good(name: str) -> None:
    weak = data_of(name)
    weak["battery"] |= {"cold_crank": "90 A"}
    weak["battery"].pop("internal_resistance", None)
    found = cranking(weak)
    assert found
    assert not [each for each in found if "strap" in each.fix]
