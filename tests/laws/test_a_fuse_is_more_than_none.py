"""A fuse added to a cable never makes its verdict worse than that without one, unless it does not carry the load.

That a starter, glow plugs and the alternator cable may go without: ADR 2017, 9.2.2.3. The cars are invented.
"""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from tests.plans import plan_of

OF_THE_WIRE = {"fuse-exceeds-wire", "no-trip-far-end", "wire-damaged-by-short", "thinner-wire-unprotected", "no-fuse",
               "alternator-cable-unfused", "no-fuse-fits"}
MOTOR = {"current": "150 A", "at": "10 V", "kind": "motor", "use": "momentary", "when": ["crank"], "evidence": "plate"}
PLUGS = {"current": "60 A", "at": "11 V", "kind": "resistive", "use": "intermittent", "when": ["crank"],
         "evidence": "plate"}


def car(role: str, length: str, cover: str | None, size: str, rating: str | None) -> Assessment:
    segment = {"size": size, "zone": "bay", "insulation": "xlpe125", "length": length}
    data: dict[str, Any] = {
        "fuseplan": 1, "battery": {"cold_crank": "500 A", "zone": "bay"}, "zone": {"bay": {"ambient": "60 degC"}},
        "feed": {"post": {"zone": "bay"}}, "earth": {"negative": {}, "engine": {"to": "negative", "engine": True}},
        "circuit": {}}
    wire = [segment if cover is None else segment | {"cover": cover}]
    fuse = {} if rating is None else {"fuse": {"kind": "mega", "rating": rating, "distance": "100 mm"}}
    if role == "alternator":
        data["alternator"] = {"feed": "post", "earth": "engine", "rated": "90 A", "cable": wire, **fuse}
    else:
        data["circuit"]["cable"] = {"feed": "post", "earth": "engine", "role": role, "wire": wire, **fuse,
                                    "load": [MOTOR if role == "starter" else PLUGS]}
    return assess(plan_of(data))


def worst(found: Assessment) -> list[str]:
    """Findings that the wire is not protected, above advice."""
    return sorted(each.check for each in found.findings if each.check in OF_THE_WIRE and each.level != "advice")


def dangers(found: Assessment) -> set[str]:
    return {each.check for each in found.findings if each.level == "danger"}


@pytest.mark.parametrize("role", ["starter", "glow_plugs", "alternator"])
@pytest.mark.parametrize(("length", "cover", "size"), [
    ("1.2 m", "sleeve", "35 mm2"), ("1.8 m", "sleeve", "16 mm2"), ("0.5 m", "conduit", "25 mm2")])
@pytest.mark.parametrize("rating", ["100 A", "200 A", "300 A"])
def test_a_cable_that_may_go_without_a_fuse_is_none_the_worse_for_one(role: str, length: str, cover: str, size: str,
                                                                     rating: str) -> None:
    bare, fused = (car(role, length, cover, size, each) for each in (None, rating))
    assert worst(bare) == []
    assert worst(fused) == []
    assert dangers(fused) <= dangers(bare)


@pytest.mark.parametrize("role", ["starter", "glow_plugs", "alternator"])
def test_that_it_protects_against_shorts_only_is_said(role: str) -> None:
    [said] = [each for each in car(role, "1.2 m", "sleeve", "16 mm2", "150 A").findings
              if each.check == "fuse-exceeds-wire"]
    assert said.level == "advice"
    assert "against shorts only" in said.message


@pytest.mark.parametrize("role", ["starter", "glow_plugs", "alternator"])
@pytest.mark.parametrize(("length", "cover"), [("1.2 m", None), ("4 m", "sleeve")])
def test_one_that_may_not_go_without_needs_a_fuse_that_protects_it(role: str, length: str, cover: str | None) -> None:
    assert worst(car(role, length, cover, "10 mm2", None))
    assert "fuse-exceeds-wire" in worst(car(role, length, cover, "10 mm2", "300 A"))
