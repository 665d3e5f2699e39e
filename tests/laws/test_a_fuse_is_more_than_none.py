"""A fuse added to a cable never makes its verdict worse than that without one, unless it does not carry the load.

That a starter, glow plugs and the alternator cable may go without: ADR 2017, 9.2.2.3. The cars are invented.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from tests.plans import plan_of

OF_THE_WIRE = {"fuse-exceeds-wire", "no-trip-far-end", "wire-damaged-by-short", "thinner-wire-unprotected", "no-fuse",
               "alternator-cable-unfused", "no-fuse-fits"}
MOTOR = {"current": "150 A", "at": "10 V", "kind": "motor", "use": "momentary", "when": ["crank"], "evidence": "plate"}
PLUGS = {"current": "60 A", "at": "11 V", "kind": "resistive", "use": "intermittent", "when": ["crank"],
         "evidence": "plate"}


def car(role: str, length: str, cover: str | None, size: str, rating: str | None,
        blows_at: float | None = 3.0) -> Assessment:
    segment = {"size": size, "zone": "bay", "insulation": "xlpe125", "length": length}
    data: dict[str, Any] = {
        "fuseplan": 1, "battery": {"cold_crank": "500 A", "zone": "bay"}, "zone": {"bay": {"ambient": "60 degC"}},
        "feed": {"post": {"zone": "bay"}}, "earth": {"negative": {}, "engine": {"to": "negative", "engine": True}},
        "circuit": {}}
    wire = [segment if cover is None else segment | {"cover": cover}]
    fuse = {} if rating is None else {"fuse": {"kind": "mega", "rating": rating, "distance": "100 mm"} | (
        {} if blows_at is None else {"blows_at": blows_at})}
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
@pytest.mark.parametrize(("rating", "blows_at"), [("100 A", 3.0), ("300 A", 3.0), ("300 A", None)])
def test_a_cable_that_may_go_without_a_fuse_is_none_the_worse_for_one(role: str, length: str, cover: str, size: str,
                                                                     rating: str, blows_at: float | None) -> None:
    bare, fused = (car(role, length, cover, size, each, blows_at) for each in (None, rating))
    assert worst(bare) == []
    assert worst(fused) == []
    assert dangers(fused) <= dangers(bare)
    if rating == "300 A":  # It carries the load.
        assert fused.exit_status == bare.exit_status
        assert role == "alternator" or fused.verdict("cable") == bare.verdict("cable")


@pytest.mark.parametrize("role", ["starter", "glow_plugs", "alternator"])
def test_that_it_protects_against_shorts_only_is_said(role: str) -> None:
    [said] = [each for each in car(role, "1.2 m", "sleeve", "16 mm2", "150 A").findings
              if each.check == "fuse-exceeds-wire"]
    assert said.level == "advice"
    assert "against shorts only" in said.message


@pytest.mark.parametrize(("role", "rating"), [("starter", "100 A"), ("glow_plugs", "50 A"), ("alternator", "100 A")])
def test_one_that_does_not_carry_its_load_is_a_warning_and_either_fix_removes_it(role: str, rating: str) -> None:
    """It may blow when the car is started or while it charges, which stops the car and burns nothing."""
    def too_small(fitted: str | None) -> list[Any]:
        return [each for each in car(role, "1.2 m", "sleeve", "16 mm2", fitted).findings
                if each.check == "fuse-too-small"]

    [said] = too_small(rating)
    assert said.level == "warning"
    assert "shorts only" in said.caution
    larger = re.match(r"fit (\d+ A)", said.fix)
    assert larger is not None, said.fix
    assert [each for each in too_small(larger[1]) if not each.measure] == []
    assert "leave the fuse out" in said.fix
    assert too_small(None) == []


@pytest.mark.parametrize("role", ["starter", "glow_plugs", "alternator"])
@pytest.mark.parametrize(("length", "cover"), [("1.2 m", None), ("4 m", "sleeve")])
def test_one_that_may_not_go_without_needs_a_fuse_that_protects_it(role: str, length: str, cover: str | None) -> None:
    assert worst(car(role, length, cover, "10 mm2", None))
    assert "fuse-exceeds-wire" in worst(car(role, length, cover, "10 mm2", "300 A"))


def branch(cover: str | None, length: str, size: str = "25 mm2", blows_at: float = 3.0) -> Assessment:
    """A battery in the boot: a fused cable to a stud, and from there a starter cable without a fuse of its own."""
    segment = {"size": size, "zone": "bay", "insulation": "xlpe125", "length": length}
    return assess(plan_of({
        "fuseplan": 1, "battery": {"cold_crank": "600 A", "zone": "bay"}, "zone": {"bay": {"ambient": "60 degC"}},
        "feed": {"post": {"zone": "bay"}, "stud": {
            "from": "post", "zone": "bay", "fuse": {"kind": "mega", "rating": "200 A", "distance": "100 mm",
                                                    "blows_at": blows_at},
            "wire": [{"size": "70 mm2", "zone": "bay", "insulation": "xlpe125", "length": "3.5 m"}]}},
        "earth": {"negative": {}, "engine": {"to": "negative", "engine": True}},
        "circuit": {"cable": {"feed": "stud", "earth": "engine", "role": "starter", "load": [MOTOR],
                              "wire": [segment if cover is None else segment | {"cover": cover}]}}}))


def test_a_short_covered_branch_needs_a_fuse_before_it_for_shorts_only() -> None:
    """What may hang on the battery itself without a fuse is none the worse behind one that blows on a short."""
    for found in (branch("sleeve", "0.7 m"), branch("sleeve", "0.7 m", "16 mm2")):
        assert worst(found) == []
        assert [each.level for each in found.findings if each.check == "fuse-exceeds-wire"] == ["advice"]


@pytest.mark.parametrize("found", [branch(None, "0.7 m"), branch("sleeve", "2.5 m")])
def test_a_bare_or_long_branch_is_to_be_protected_by_the_fuse_before_it(found: Assessment) -> None:
    assert "fuse-exceeds-wire" in dangers(found)


def test_a_short_branch_behind_a_fuse_too_slow_for_its_far_end_is_a_danger() -> None:
    assert "no-trip-far-end" in dangers(branch("sleeve", "0.7 m", blows_at=20.0))
