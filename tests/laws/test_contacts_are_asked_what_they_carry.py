"""What is on file for relay contacts is for 14 V at most (footnotes of relay makers' sheets): above that each is asked
what it may break at the car's voltage, is held against the answer, and is never ok without one. Sockets are asked for
their terminals where the load is more than the usual ones carry."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from tests.checks.check_plans import BASE
from tests.plans import cabin_wire, circuit_text, load
from tests.protection.small import data

WIRE = [{"size": "1 mm2", "length": "1 m", "zone": "place", "insulation": "pvc105"}]


def _relay(breaks: str | None) -> dict[str, Any]:
    said = {} if breaks is None else {"breaks": breaks}
    return {"contact": "mini_40", "coil_feed": "coils", "driver": "switch", "suppression": "diode",
            "coil_earth": "negative", "wire_86": WIRE, "wire_85": WIRE, **said}


def _assessed(system: float, breaks: str | None, in_feed: bool = False, current: str = "18 A") -> Assessment:
    plan = data(kind="blade", rating="30 A", size="6 mm2", length="2 m", insulation="pvc105", ambient="40 degC",
                load={"current": current, "at": f"{system * 14.0 / 12.0} V", "evidence": "measured", "when": ["hot"],
                      "earth_resistance": "3 mohm"},
                box={"fuse": {"kind": "maxi", "rating": "40 A", "distance": "50 mm"},
                     "wire": [{"size": "10 mm2", "length": "1 m", "zone": "place", "insulation": "pvc105"}],
                     **({"relay": _relay(breaks)} if in_feed else {})})
    plan["vehicle"]["system"] = f"{system} V"
    plan["battery"] = {"cold_crank": "500 A", "capacity": "70 Ah"}
    plan["feed"]["coils"] = {"from": "battery_post", "zone": "place", "wire": WIRE,
                             "fuse": {"kind": "blade", "rating": "3 A", "distance": "50 mm"}}
    plan["circuit"]["lamp"]["role"] = "other"
    plan["circuit"]["lamp"]["fuse"]["distance"] = "50 mm"
    if not in_feed:
        plan["circuit"]["lamp"]["relay"] = _relay(breaks)
    return assess(Plan.model_validate(plan))


@pytest.mark.parametrize("in_feed", [False, True])
def test_it_is_asked_above_12_v_and_nothing_is_ok_without_an_answer(in_feed: bool) -> None:
    subject = ("feed", "box") if in_feed else ("circuit", "lamp")
    for system, breaks, asks in ((6, None, False), (12, None, False), (24, None, True), (24, "20 A", False)):
        assessment = _assessed(system, breaks, in_feed, current="18 A" if system > 6 else "9 A")
        asked = [each for each in assessment.not_said if each.kind == "breaks"]
        assert bool(asked) == asks
        assert [((each.subject_kind, each.subject), each.safety) for each in asked] == [(subject, True)] * asks
        if system > 6 and not in_feed:
            assert assessment.verdict("lamp") == ("unknown" if asks else "ok")


@pytest.mark.parametrize("in_feed", [False, True])
@pytest.mark.parametrize("system", [12, 24])
def test_it_is_held_against_what_it_may_break(system: float, in_feed: bool) -> None:
    check = "feed-overloaded" if in_feed else "relay-overloaded"
    for breaks, fails in (("20 A", False), ("15 A", True)):
        found = [each for each in _assessed(system, breaks, in_feed).findings if each.check == check]
        assert [each.level for each in found] == ["danger"] * fails
        assert all(each.fields[0].endswith(".relay.breaks") for each in found)
        assert all("a relay that may break" in each.fix for each in found)


@pytest.mark.parametrize("in_feed", [False, True])
def test_a_socket_is_asked_about_from_what_its_usual_terminals_carry(in_feed: bool) -> None:
    """24 A for a 6.3 mm push-on terminal on AWG 10: TE catalogue 82004, p. 3-11."""
    for current, asks in (("20 A", False), ("27 A", True)):
        assessment = _assessed(12, None, in_feed, current=current)
        asked = [each for each in assessment.not_said if each.kind == "socket"]
        assert [each.safety for each in asked] == [True] * asks
        assert not (asks and not in_feed) or assessment.verdict("lamp") != "ok"


@pytest.mark.parametrize(("rating", "largest", "asks"), [
    ("30 A", None, False), ("35 A", None, True), ("35 A", "40 A", False), ("35 A", "30 A", False)])
def test_a_position_is_asked_about_with_more_than_thirty_amperes_in_it(rating: str, largest: str | None, asks: bool
                                                                       ) -> None:
    """Common practice, no source."""
    plan = tomllib.loads(BASE + circuit_text("fan", load("12 A", at="13.5 V"), feed="bus", earth="body", fuse={
        "kind": "blade", "rating": rating, "position": "F1"}, wire=cabin_wire("6 mm2", "1 m")))
    plan["fuse_box"] = {"box": {"feed": "bus", "rows": 1, "columns": 4, "numbered": "F1", "kind": "blade"} |
                        ({} if largest is None else {"largest": largest})}
    assessment = assess(Plan.model_validate(plan), "road")
    asked = [each for each in assessment.not_said if each.kind == "largest"]
    assert [(each.subject, each.safety) for each in asked] == [("fan", True)] * asks
    assert not asks or assessment.verdict("fan") == "unknown"
    assert ("wrong-fuse-position" in {each.check for each in assessment.findings}) == (largest == "30 A")
