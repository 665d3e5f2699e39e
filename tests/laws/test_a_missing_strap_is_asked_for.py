"""Nothing on rubber or in another piece of metal counts as earthed without a strap that the plan names: it is asked
for, or a danger where the starter or the alternator is earthed through it, and never both."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder

EXAMPLES = {path.stem: tomllib.loads(path.read_text(encoding="utf-8"))
            for path in sorted(shipped_folder("examples").glob("*.toml"))}
STRAPS = [(example, name) for example, data in EXAMPLES.items()
          for name, earth in data["earth"].items() if earth.get("wire")]
KINDS = ("earth_strap", "battery_earth")
BUS = {"from": "post", "zone": "bay", "wire": [{"size": "16 mm2", "length": "1 m", "zone": "bay"}],
       "fuse": {"kind": "maxi", "rating": "60 A", "distance": "0.1 m"}}


def told(data: dict[str, Any], point: str) -> list[tuple[str, bool]]:
    """What is said of the way from an earth point, with whether safety rests on it."""
    found = assess(Plan.model_validate(data))
    dangers = [("danger", True) for each in found.findings
               if (each.check, each.subject_kind, each.subject) == ("no-engine-strap", "earth", point)]
    return dangers + [(each.kind, each.safety) for each in found.not_said
                      if (each.subject_kind, each.subject) == ("earth", point) and each.kind in KINDS]


@pytest.mark.parametrize(("example", "point"), STRAPS)
def test_a_strap_left_out_of_an_example_is_told_once(example: str, point: str) -> None:
    data = copy.deepcopy(EXAMPLES[example])
    assert told(data, point) == []
    earth = data["earth"][point]
    del earth["wire"]
    earth["resistance"] = "0.2 mohm"
    assert [safety for _, safety in told(data, point)] == [True]


def car(amperes: float, earths: dict[str, Any], at: str, **load: Any) -> dict[str, Any]:
    """A car with one load."""
    return {"fuseplan": 1, "zone": {"bay": {"ambient": "40 degC"}}, "battery": {"cold_crank": "500 A"},
            "feed": {"post": {"zone": "bay"}, "bus": BUS}, "earth": earths,
            "circuit": {"load": {"feed": "bus", "earth": at, "role": "other",
                                 "wire": [{"size": "6 mm2", "length": "1 m", "zone": "bay"}],
                                 "load": [{"current": f"{amperes} A", "kind": "resistive", "evidence": "measured",
                                           **load}]}}}


@pytest.mark.parametrize(("amperes", "safety"), [(2.0, False), (9.0, False), (10.5, True), (30.0, True)])
def test_safety_rests_on_it_where_more_than_thin_wires_carry_returns_there(amperes: float, safety: bool) -> None:
    points = {"minus": {}, "body": {"to": "minus", "resistance": "0.5 mohm"}}
    assert told(car(amperes, points, "body"), "body") == [("earth_strap", safety)]
    points["body"]["wire"] = [{"size": "16 mm2", "length": "0.4 m", "zone": "bay"}]
    assert told(car(amperes, points, "body"), "body") == []


@pytest.mark.parametrize(("current", "evidence", "rating", "safety"), [
    ("6 A", "guess", "15 A", False), ("9 A", "guess", "15 A", True), ("9 A", None, "15 A", True),
    (None, None, "15 A", True), (None, None, "7.5 A", False), (None, None, None, True)])
def test_what_returns_there_is_what_may_at_most(current: str | None, evidence: str | None, rating: str | None,
                                                safety: bool) -> None:
    """A guess may be half as much again, and what is not stated may be all its fuse carries; no fuse, no limit."""
    data = car(9.0, {"minus": {}, "body": {"to": "minus", "resistance": "0.5 mohm"}}, "body")
    load = data["circuit"]["load"]["load"][0]
    load |= {"current": current, "evidence": evidence}
    data["circuit"]["load"]["load"] = [{key: each for key, each in load.items() if each is not None}]
    if rating is None:
        data["feed"]["bus"] = {key: each for key, each in BUS.items() if key != "fuse"}
    else:
        data["circuit"]["load"]["fuse"] = {"kind": "blade", "rating": rating, "distance": "50 mm"}
    assert told(data, "body") == [("earth_strap", safety)]


@pytest.mark.parametrize("engine_is_below", [True, False])
def test_engine_and_body_are_no_one_piece_of_metal(engine_is_below: bool) -> None:
    wire = [{"size": "16 mm2", "length": "0.4 m", "zone": "bay"}]
    points = {"minus": {}, "near": {"to": "minus", "wire": wire, "engine": not engine_is_below},
              "far": {"to": "near", "resistance": "0.5 mohm", "engine": engine_is_below},
              "beside": {"to": "far", "resistance": "0.5 mohm", "engine": engine_is_below}}
    assert told(car(20.0, points, "beside"), "far") == [("earth_strap", True)]
    assert told(car(20.0, points, "beside"), "beside") == []


def test_what_is_bolted_to_the_batterys_post_asks_for_its_cable() -> None:
    wire = [{"size": "6 mm2", "length": "0.4 m", "zone": "bay"}]
    assert told(car(20.0, {"body": {}}, "body"), "body") == [("battery_earth", False)]
    assert told(car(20.0, {"body": {"engine": True}}, "body"), "body") == [("battery_earth", True)]
    assert told(car(20.0, {"post": {}}, "post", earth_wire=wire), "post") == []
    assert told(car(20.0, {"post": {}}, "post", earth_resistance="1 mohm"), "post") == []


@pytest.mark.parametrize("engine", [False, True])
@pytest.mark.parametrize(("amperes", "safety"), [(4.0, False), (20.0, True)])
def test_one_shell_with_loads_bolted_to_it_lacks_the_batterys_cable_alone(engine: bool, amperes: float, safety: bool
                                                                          ) -> None:
    """Its other points are the same metal; whether safety rests on the cable is decided by all that returns there."""
    points: dict[str, Any] = {"body": {"engine": engine}, **{
        name: {"to": "body", "resistance": "1 mohm", "engine": engine} for name in ("rear", "dash")}}
    data = car(amperes, points, "rear")
    circuits = data["circuit"]
    circuits["bolted"] = {**copy.deepcopy(circuits["load"]), "earth": "body"}
    circuits["bolted"]["load"][0]["current"] = "1 A"
    assert [(point, told(data, point)) for point in points] == [
        ("body", [("battery_earth", safety)]), ("rear", []), ("dash", [])]
    points["rear"]["engine"] = not engine
    assert [kind for kind, _ in told(data, "rear")] == ["earth_strap"]
    points["rear"]["engine"] = engine
    circuits["bolted"]["load"][0]["earth_resistance"] = "1 mohm"
    points["body"]["engine"] = False
    if not engine:
        assert [told(data, point) for point in points] == [[], [("earth_strap", safety)], [("earth_strap", False)]]


def test_both_halves_of_what_returns_to_one_shell_count() -> None:
    points: dict[str, Any] = {"body": {}, "rear": {"to": "body", "resistance": "1 mohm"}}
    data = car(7.0, points, "rear")
    data["circuit"]["bolted"] = {**copy.deepcopy(data["circuit"]["load"]), "earth": "body"}
    assert told(data, "body") == [("battery_earth", True)]
    assert told(data, "rear") == []
