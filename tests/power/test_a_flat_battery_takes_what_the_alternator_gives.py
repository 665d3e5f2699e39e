"""After a start from a flat battery all the alternator gives flows back to it, through every feed, fuse, switch and
strap between them: what takes its share on the way may as well be off. Common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from tests.plans import plan_of

RATED_A = 90.0
WIRE = [{"size": "35 mm2", "length": "1 m", "zone": "bay", "insulation": "xlpe125"}]


def car(fuse_a: float | None = 200.0, rated: bool = True, at: str = "stud", switch_a: float | None = None,
        strap: str = "35 mm2", load_a: float = 10.0, evidence: str = "limit", duty: float = 1.0,
        stud: str = "35 mm2", loads: int = 1, earth: str = "engine", cable: str = "35 mm2",
        protected: bool = True) -> Assessment:
    """A car with a stud behind a fuse, loads on it, and an alternator on the stud or on the post."""
    fuse = {} if fuse_a is None else {"fuse": {"kind": "mega", "rating": f"{fuse_a:g} A", "distance": "100 mm",
                                               "zone": "bay"}}
    switch = {} if switch_a is None else {"switch": {"rating": f"{switch_a:g} A"}}
    data: dict[str, Any] = {
        "fuseplan": 1, "battery": {"cold_crank": "500 A", "zone": "bay"}, "zone": {"bay": {"ambient": "40 degC"}},
        "feed": {"post": {"zone": "bay"}, "stud": {"from": "post", "zone": "bay", "wire": [{**WIRE[0], "size": stud}],
                                                   **fuse, **switch}},
        "earth": {"negative": {}, "engine": {"to": "negative", "engine": True, "wire": [{**WIRE[0], "size": strap}]}},
        "alternator": {"feed": at, "earth": earth, "cable": [{**WIRE[0], "size": cable, "cover": "sleeve"}],
                       **({"fuse": {"kind": "mega", "rating": "175 A", "distance": "100 mm", "zone": "bay"}}
                          if protected else {}),
                       **({"rated": f"{RATED_A:g} A"} if rated else {})},
        "circuit": {"heater": {"feed": "stud", "earth": "negative", "role": "heated_glass", "wire": WIRE,
                               "load": [{"current": f"{load_a:g} A", "kind": "electronic", "evidence": evidence,
                                         "duty": duty}] * loads}}}
    return assess(plan_of(data))


def through(found: Assessment, kind: str, name: str) -> float:
    """What flows through a feed or an earth point for minutes [A]."""
    network, demands = found.results.network, found.results.demands
    if kind == "feed":
        return float(demands.lasting_at(network.feed_node[name])[0])
    return float(demands.returns[0, 1:, network.earth_node[name]].max())


def told(found: Assessment, check: str, subject: str) -> bool:
    """Whether a check finds something, and says where the current comes from."""
    messages = [each.message for each in found.findings if (each.check, each.subject) == (check, subject)]
    assert all("charging current that a flat battery takes of the alternator" in each for each in messages), messages
    return bool(messages)


@pytest.mark.parametrize("load_a", [0.1, 10.0, 40.0])
@pytest.mark.parametrize("evidence", ["limit", "guess"])
@pytest.mark.parametrize("duty", [0.05, 1.0])
def test_the_feed_between_them_carries_all_of_it_whatever_else_may_be_on(
        load_a: float, evidence: str, duty: float) -> None:
    assert through(car(at="post", load_a=load_a, evidence=evidence, duty=duty), "feed", "stud") < RATED_A
    assert through(car(load_a=load_a, evidence=evidence, duty=duty), "feed", "stud") == pytest.approx(RATED_A)


def test_loads_that_draw_more_count_as_before() -> None:
    assert through(car(load_a=120.0), "feed", "stud") == pytest.approx(through(car(load_a=120.0, at="post"), "feed",
                                                                              "stud"))


def test_so_does_the_strap_by_which_it_returns() -> None:
    assert through(car(), "earth", "engine") == pytest.approx(RATED_A)


@pytest.mark.parametrize("at", ["stud", "post"])
def test_safety_rests_on_an_output_that_is_not_given(at: str) -> None:
    """By the strap it returns in any case."""
    [asked] = [each for each in car(rated=False, at=at).not_said if each.subject == "alternator"
               and each.kind == "whole_car"]
    assert asked.safety
    assert not [each for each in car(at=at).not_said if each.subject == "alternator" and each.kind == "whole_car"]


@pytest.mark.parametrize("protected", [True, False])
def test_safety_rests_on_it_for_its_own_cable_alone(protected: bool) -> None:
    """Earthed at the battery's post there is no strap in its way, yet the cable carries all it gives."""
    thin, unknown = (car(rated=rated, at="post", earth="negative", cable="6 mm2", protected=protected)
                     for rated in (True, False))
    assert ("wire-overloaded", "danger") in {(each.check, each.level) for each in thin.findings_for(
        "alternator", "alternator")}
    assert [each.safety for each in unknown.not_said if each.subject == "alternator" and each.kind == "whole_car"] \
        == [True]


@pytest.mark.parametrize(("fuse_a", "fails"), [(60.0, True), (80.0, True), (200.0, False)])
def test_a_fuse_in_that_way_carries_it(fuse_a: float, fails: bool) -> None:
    assert told(car(fuse_a), "fuse-too-small", "stud") is fails
    assert not told(car(fuse_a, at="post"), "fuse-too-small", "stud")


@pytest.mark.parametrize(("switch_a", "fails"), [(60.0, True), (150.0, False)])
def test_a_switch_in_that_way_carries_it(switch_a: float, fails: bool) -> None:
    assert told(car(switch_a=switch_a), "feed-overloaded", "stud") is fails


def test_what_the_loads_ask_for_is_told_as_theirs() -> None:
    """At the worst case of a guess the loads ask for more than the alternator is rated for."""
    found = car(90.0, load_a=60.0, evidence="guess", at="post")
    messages = [each.message for each in found.findings if each.subject == "stud" and each.check == "fuse-too-small"]
    assert messages
    assert not any("charging" in each for each in messages)


def test_charging_current_is_not_shared_out_over_two_fuses() -> None:
    for loads in (1, 2):
        fixes = [each.fix for each in car(60.0, stud="10 mm2", loads=loads, load_a=5.0).findings
                 if each.subject == "stud"]
        assert fixes
        assert not any("two fuses" in each for each in fixes)


def test_a_strap_too_thin_for_it_is_overloaded() -> None:
    assert told(car(strap="4 mm2"), "earth-strap-overloaded", "engine")
    assert not told(car(strap="35 mm2"), "earth-strap-overloaded", "engine")
