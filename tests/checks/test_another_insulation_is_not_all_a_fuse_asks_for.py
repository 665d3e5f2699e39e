"""Where another insulation comes first, a fix that goes on to name a fuse names the other wires that are too thin for
it too: insulated anew, one wire of a part makes no other thicker."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.stock import ladder
from tests.checks.check_plans import BASE
from tests.plans import cabin_wire, load, plan_of

HOT = (92, 110)
"""Places in which a wire of 105 °C has less than 20 K to spare, and in which it may carry nothing [°C]."""


def fixes(hot_c: int, fuse: dict[str, Any] | None, current: str, check: str) -> list[str]:
    """The fixes of a check on a circuit whose wire is in a place too hot for it and whose earth wire is thin."""
    data = tomllib.loads(BASE)
    data["zone"]["hot"] = {"ambient": f"{hot_c} degC"}
    data["circuit"] = {"glass": {
        "feed": "bus", "earth": "body", "role": "other",
        "wire": [{"size": "4 mm2", "length": "2 m", "zone": "hot", "insulation": "pvc105"}],
        "earth_wire": cabin_wire("1 mm2", "1 m", "pvc105"),
        "load": [load(current, at="13.5 V", use="continuous", when=["engine"])],
        **({} if fuse is None else {"fuse": fuse})}}
    return [each.fix for each in assess(plan_of(data)).findings if each.check == check]


@pytest.mark.parametrize(("hot_c", "fuse", "check"), [
    *((hot_c, {"kind": "maxi", "rating": "20 A"}, "fuse-too-small") for hot_c in HOT),
    *((hot_c, {"kind": "maxi"}, "no-fuse-fits") for hot_c in HOT), (HOT[0], None, "fuse-exceeds-wire")])
def test_a_fix_that_names_a_fuse_names_every_wire_that_does_not_allow_it(
        hot_c: int, fuse: dict[str, str] | None, check: str) -> None:
    found = fixes(hot_c, fuse, "24 A", check)
    assert found
    for fix in found:
        orders, _, _ = fix.partition("; smallest fuse")
        assert re.search(r"then (a fuse of its own of )?\d+ A", orders), fix
        assert "earth wire" in orders
        assert "the wire of glass" in orders
        assert re.search("another insulation|with [a-z]+[0-9]+ insulation", orders), orders


@pytest.mark.parametrize(("size", "back", "current"), [
    ("1 mm2", "0.5 mm2", "6 A"), ("1 mm2", "1 mm2", "6 A"), ("0.75 mm2", "1 mm2", "4 A")])
@pytest.mark.parametrize("hot_c", [92, 100])
def test_a_wire_too_weak_for_its_place_is_told_one_fuse_of_its_own_by_every_check(
        hot_c: int, size: str, back: str, current: str) -> None:
    """Once it has the insulation its place asks for, a fuse it allows carries what it does: copper for the fuse of the
    feed is not asked for beside that. With insulation and fuse entered nothing is left."""
    data = tomllib.loads(BASE)
    data["zone"]["hot"] = {"ambient": f"{hot_c} degC"}
    wire = {"size": size, "length": "2 m", "zone": "hot", "insulation": "pvc105"}
    circuit = {"feed": "bus", "earth": "body", "role": "other", "wire": [wire],
               "earth_wire": cabin_wire(back, "1 m", "pvc105"),
               "load": [load(current, at="13.5 V", use="continuous", when=["engine"])]}
    data["circuit"] = {"glass": circuit}

    def found() -> dict[str, str]:
        return {each.check: each.fix for each in assess(plan_of(data)).findings if each.check in (
            "fuse-exceeds-wire", "thinner-wire-unprotected")}

    told = found()
    fuses = {re.search(r"; then a fuse of its own of at most ([\d.]+) A where the wire of glass starts, or", fix)
             for fix in told.values()}
    assert len(told) == 2
    assert None not in fuses
    most, = {float(each[1]) for each in fuses if each is not None}
    better, = {each[1] for each in (re.search(r"such as (\w+)", fix) for fix in told.values()) if each is not None}
    wire["insulation"] = better
    circuit["fuse"] = {"kind": "blade", "distance": "80 mm",
                       "rating": f"{max(step for step in ladder('blade') if step <= most):g} A"}
    assert not found()
