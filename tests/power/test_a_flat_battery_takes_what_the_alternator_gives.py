"""After a start from a flat battery all the alternator gives, less what is on before it, flows back to the battery:
through every feed, fuse, switch and strap between them. Common practice, no source; the sum is Kirchhoff's."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from tests.plans import plan_of

RATED_A, LOAD_A = 90.0, 10.0
WIRE = [{"size": "35 mm2", "length": "1 m", "zone": "bay", "insulation": "xlpe125"}]


def car(fuse_a: float | None = 200.0, rated: bool = True, at: str = "stud", switch_a: float | None = None,
        strap: str = "35 mm2") -> Assessment:
    """A car with a stud behind a fuse, a load of 10 A on it, and an alternator on the stud or on the post."""
    fuse = {} if fuse_a is None else {"fuse": {"kind": "mega", "rating": f"{fuse_a:g} A", "distance": "100 mm",
                                               "zone": "bay"}}
    switch = {} if switch_a is None else {"switch": {"rating": f"{switch_a:g} A"}}
    data: dict[str, Any] = {
        "fuseplan": 1, "battery": {"cold_crank": "500 A", "zone": "bay"}, "zone": {"bay": {"ambient": "40 degC"}},
        "feed": {"post": {"zone": "bay"}, "stud": {"from": "post", "zone": "bay", "wire": WIRE, **fuse, **switch}},
        "earth": {"negative": {}, "engine": {"to": "negative", "engine": True, "wire": [{**WIRE[0], "size": strap}]}},
        "alternator": {"feed": at, "earth": "engine", "cable": WIRE,
                       "fuse": {"kind": "mega", "rating": "175 A", "distance": "100 mm", "zone": "bay"},
                       **({"rated": f"{RATED_A:g} A"} if rated else {})},
        "circuit": {"heater": {"feed": "stud", "earth": "negative", "role": "heated_glass", "wire": WIRE,
                               "load": [{"current": f"{LOAD_A:g} A", "kind": "electronic", "evidence": "limit"}]}}}
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
    assert all("what a flat battery takes of the alternator's output" in each for each in messages), messages
    return bool(messages)


def test_the_feed_between_them_carries_what_is_left_of_the_output() -> None:
    drawn = through(car(at="post"), "feed", "stud")
    assert 0 < drawn < 30
    assert through(car(), "feed", "stud") == pytest.approx(RATED_A - drawn, abs=1.0)


def test_so_does_the_strap_by_which_it_returns() -> None:
    assert through(car(), "earth", "engine") == pytest.approx(RATED_A)


def test_nothing_is_added_where_the_output_is_not_given() -> None:
    assert through(car(rated=False), "feed", "stud") < 30


@pytest.mark.parametrize(("fuse_a", "fails"), [(60.0, True), (80.0, True), (200.0, False)])
def test_a_fuse_in_that_way_carries_it(fuse_a: float, fails: bool) -> None:
    assert told(car(fuse_a), "fuse-too-small", "stud") is fails
    assert not told(car(fuse_a, at="post"), "fuse-too-small", "stud")


@pytest.mark.parametrize(("switch_a", "fails"), [(60.0, True), (150.0, False)])
def test_a_switch_in_that_way_carries_it(switch_a: float, fails: bool) -> None:
    assert told(car(switch_a=switch_a), "feed-overloaded", "stud") is fails


def test_a_strap_too_thin_for_it_is_overloaded() -> None:
    assert told(car(strap="4 mm2"), "earth-strap-overloaded", "engine")
    assert not told(car(strap="35 mm2"), "earth-strap-overloaded", "engine")
