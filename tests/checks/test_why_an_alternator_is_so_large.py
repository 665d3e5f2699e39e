"""Where idling, and not the rated output, sets the size of alternator that is recommended, the fix says so, with
figures that hold of the smaller one."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.alternator_size import larger_sizes
from fuseplan.plan.model import Alternator, Plan

CHECKS = ("alternator-too-small", "alternator-peak-overload")
WHY = re.compile(r"an alternator rated (\d+) A \(by its rated output (\d+) A would do, but hot in '(.+)' that one "
                 r"delivers ([\d.]+) A of the ([\d.]+) A drawn\)")
PLAN = """
fuseplan = 1
[battery]
capacity = "60 Ah"
cold_crank = "500 A"
[alternator]
rated = "{rated} A"
low_speed = "{low} A"
feed = "post"
[feed.post]
[earth.body]
[circuit.heat]
feed = "post"
earth = "body"
wire = [{{ size = "50 mm2", length = "1 m" }}]
[[circuit.heat.load]]
current = "{load} A"
at = "13.5 V"
kind = "resistive"
evidence = "measured"
{more}
"""


def judged(rated: float, low: float, load: float, more: str = "") -> Assessment:
    data: Any = tomllib.loads(PLAN.format(rated=rated, low=low, load=load, more=more))
    return assess(Plan.model_validate(data))


@pytest.mark.parametrize("load", [30, 45, 60, 72])
def test_what_a_smaller_alternator_lacks_is_what_that_one_lacks(load: int) -> None:
    rated = load - 5
    found = [each for each in judged(rated, rated / 2, load).findings if each.check in CHECKS]
    assert {each.check for each in found} == set(CHECKS)
    for each in found:
        said = WHY.search(each.fix)
        assert said is not None, each.fix
        named, smaller, condition, delivers, drawn = (*map(float, said.group(1, 2)), said[3],
                                                      *map(float, said.group(4, 5)))
        assert smaller < named
        assert delivers < drawn
        low = next(size.low_a for size in larger_sizes(Alternator(rated=f"{rated} A", low_speed=f"{rated / 2} A"))
                   if size.rated_a == smaller)
        less = judged(smaller, low, load)
        assert not [other for other in less.findings if other.check in CHECKS and not other.measure]
        assert [other for other in less.findings if other.check == "discharge-while-running"
                and f"'{condition}'" in other.message]
        row = next(number for number, name in enumerate(less.results.network.conditions) if name.name == condition)
        assert less.results.source.available_a[row] == pytest.approx(delivers, abs=0.1)


def test_no_reason_is_given_where_the_rated_output_sets_the_size() -> None:
    found = [each for each in judged(50, 30, 65, 'use = "intermittent"\nduty = 0.2').findings if each.check in CHECKS]
    assert found
    for each in found:
        assert "by its rated output" not in each.fix


def test_a_higher_idle_speed_is_named_only_for_what_happens_at_idle() -> None:
    """On the road the engine turns faster than any idle speed."""
    found = [each for each in judged(40, 20, 60).findings if each.check == "discharge-while-running"]
    named = {word: {"raise the idle speed" in each.fix for each in found if word in each.message}
             for word in ("Idle", "Town", "Cruise")}
    assert named == {"Idle": {True}, "Town": {False}, "Cruise": {False}}


CABLE = """
cable = [{{ size = "{size}", length = "1 m", zone = "bay", insulation = "xlpe125" }}]
earth = "body"
fuse = {{ kind = "mega", rating = "{fuse}", distance = "100 mm", zone = "bay", blows_at = 5 }}
[zone.bay]
ambient = "60 degC"
[feed.post]"""


def with_cable(size: str, fuse: str, rated: float) -> Assessment:
    text = PLAN.format(rated=rated, low=rated / 2, load=60, more="").replace("\n[feed.post]",
                                                                            CABLE.format(size=size, fuse=fuse))
    return assess(Plan.model_validate(tomllib.loads(text)))


def test_the_fuse_and_the_cable_that_go_with_a_larger_alternator_are_named() -> None:
    """What is named is what the checks of fuse and cable ask for once the larger one is entered."""
    [said] = {each.fix for each in with_cable("16 mm2", "100 A", 65).findings if each.check == "alternator-too-small"}
    found = re.search(r"rated (\d+) A.*, with a fuse for it \(([\d.]+) A or more\) and a cable rated for that", said)
    assert found is not None, said
    entered = with_cable("16 mm2", "100 A", float(found[1]))
    [asks] = [each for each in entered.findings if (each.check, each.subject_kind) == ("fuse-too-small", "alternator")]
    assert asks.figure == pytest.approx(float(found[2]), rel=0.01)
    for size, fuse, words in (("95 mm2", "100 A", "with a fuse for it"), ("95 mm2", "350 A", ""),
                              ("16 mm2", "350 A", "with a cable rated for it")):
        [said] = {each.fix for each in with_cable(size, fuse, 65).findings if each.check == "alternator-too-small"}
        assert words in said
        assert (" cable " in said) == ("cable" in words)
        assert (" fuse " in said) == ("fuse" in words)
