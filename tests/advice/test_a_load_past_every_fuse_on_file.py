"""A missing fuse for a load that no fuse on file carries is told so, by check and proposal alike: none is added whose
rating then stays open."""

from __future__ import annotations

import tomllib

import pytest

from fuseplan.advice import propose
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.advice.worlds import BASE, one

LARGEST_A = ladder("mega")[-1]


@pytest.mark.parametrize("fuse", ["", 'fuse = { kind = "blade" }', 'fuse = { kind = "mega", rating = "300 A" }'])
@pytest.mark.parametrize("use", ["continuous", "intermittent"])
@pytest.mark.parametrize("load_a", [60, 150, 220, 230, 290, 310, 420, 900])
def test_it_is_told_that_none_is_on_file(load_a: int, use: str, fuse: str) -> None:
    plan = one(wire='size = "120 mm2"', fuse=fuse, current=f"{load_a} A", kind="motor", load=f'use = "{use}"')
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    found = [each.fix for each in proposal.before.findings if each.check in ("no-fuse", "no-fuse-fits")
             or (each.check == "fuse-too-small" and not each.measure)]
    needed_a = load_a / (0.75 if use == "continuous" else 1.0)
    assert found or fuse
    for fix in found:
        assert ("on file" in fix) == (needed_a > LARGEST_A), fix
        assert f"{LARGEST_A:g} A" in fix or "none is on file" in fix or needed_a <= LARGEST_A
    fitted = proposal.plan.circuit["one"].fuse
    if needed_a > LARGEST_A:
        assert fitted == plan.circuit["one"].fuse
        assert any("on file" in each.words for each in proposal.collisions)
    else:
        assert fitted is not None
        assert fitted.rating is not None


@pytest.mark.parametrize(("ambient", "load_a", "cooler"), [
    (25, 420, False), (25, 240, False), (110, 420, False), (110, 200, True)])
def test_a_cooler_place_is_named_only_where_a_fuse_on_file_carries_the_load_there(
        ambient: int, load_a: int, cooler: bool) -> None:
    """A continuous load uses 75 % of a rating at 25 °C: L. Lundy, The fuse-selection checklist, EDN, 1996."""
    data = tomllib.loads(BASE) | {"circuit": {"one": {
        "feed": "battery_post", "earth": "battery_negative", "fuse": {"kind": "mega", "zone": "place"},
        "wire": [{"length": "2 m", "size": "120 mm2", "zone": "cabin", "insulation": "xlpe125"}],
        "load": [{"current": f"{load_a} A", "at": "14.2 V", "kind": "resistive", "evidence": "measured"}]}}}
    data["zone"]["place"] = {"ambient": f"{ambient} degC"}
    plan = Plan.model_validate(data)
    assert cooler == (ambient > 25 and load_a / 0.75 <= LARGEST_A)
    said = [each.fix for each in propose(plan, limit_set("road"), look_for_savings=False).collisions
            if each.check == "fuse-too-small"]
    assert said
    assert ["cooler place" in each for each in said] == [cooler] * len(said)
