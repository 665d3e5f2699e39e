"""A fuse without printed opening times: no other type vouches for it, its maker's sheet does where the plan states it,
and a circuit whose clearing nothing answers is never ok."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pydantic import ValidationError

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.assumptions import assumptions
from fuseplan.engine.clearing import OPEN_WITHIN_S, greatest_time_s
from fuseplan.engine.unprinted_times import greatest_time_of, least_fault_of, may_be_stated, stated_multiple
from fuseplan.plan.parts import Fuse
from fuseplan.plan.words import FUSE_KINDS
from fuseplan.tables import fuses as fuse_tables
from tests.plans import plan_of
from tests.protection.small import assessed, data, found

RATED = {kind: listed.value[0] for kind in FUSE_KINDS if (listed := fuse_tables.ratings(kind)) is not None}
UNPRINTED = sorted(kind for kind, rating in RATED.items()
                   if fuse_tables.time_current(kind, rating) is None and kind != "link")


def _asked(length: str, **fuse: object) -> Assessment:
    return assessed(kind="mega", rating="100 A", size="25 mm2", length=length, insulation="xlpe125",
                    fuse={"position": "1", **fuse}, load={"current": "10 A"})


@pytest.mark.parametrize("kind", UNPRINTED)
def test_no_other_type_vouches_for_it(kind: str) -> None:
    fuse, rating = Fuse.model_validate({"kind": kind}), float(RATED[kind])
    for multiple in (1.0, 4.2, 10.0, 50.0):
        assert math.isnan(greatest_time_of(fuse, rating, rating * multiple))
    assert math.isnan(least_fault_of(fuse, rating))


@pytest.mark.parametrize("kind", UNPRINTED)
def test_what_its_makers_sheet_says_answers(kind: str) -> None:
    stated, rating = Fuse.model_validate({"kind": kind, "blows_at": 3.0}), float(RATED[kind])
    assert math.isinf(greatest_time_of(stated, rating, rating * 2.9))
    assert greatest_time_of(stated, rating, rating * 3.0) == pytest.approx(OPEN_WITHIN_S)
    assert least_fault_of(stated, rating) == pytest.approx(rating * 3.0)
    # The heat until it opens does not grow: twice the current, a quarter of the time.
    assert greatest_time_of(stated, rating, rating * 6.0) == pytest.approx(OPEN_WITHIN_S / 4)


def test_printed_times_are_not_replaced_by_what_the_plan_states() -> None:
    fuse = Fuse.model_validate({"kind": "mini", "blows_at": 4.0})
    assert greatest_time_of(fuse, 10.0, 30.0) == float(greatest_time_s("mini", 10.0, np.array([30.0]))[0]) < 5.0
    link = Fuse.model_validate({"kind": "link", "blows_at": 3.0})
    assert stated_multiple(link) is None
    assert not may_be_stated(link)


def test_a_multiple_below_which_no_fuse_on_file_has_blown_is_refused() -> None:
    """At 135 % ISO 8820-3 lets a blade fuse take ten minutes: Littelfuse ATOF 287 and MINI 297 datasheets, 0.75 s to
    600 s; at 200 % up to 5 s. Taken for the multiple at which it blows, 1.35 would pass wires that burn."""
    printed = [(float(rating), least_fault_of(Fuse.model_validate({"kind": kind}), float(rating)))
               for kind, rating in RATED.items() if kind not in UNPRINTED]
    assert len(printed) >= 4
    assert all(current >= 2.0 * rating for rating, current in printed)
    for multiple in (1.1, 1.35, 1.99):
        with pytest.raises(ValidationError, match="accepted is 2 to 20"):
            Fuse.model_validate({"kind": "mega", "blows_at": multiple})
    assert stated_multiple(Fuse.model_validate({"kind": "mega", "blows_at": 2.0})) == 2.0


@pytest.mark.parametrize(("length", "fuse", "verdict"), [
    ("2 m", {}, "unknown"), ("30 m", {}, "unknown"), ("2 m", {"blows_at": 3.5}, "ok"),
    ("30 m", {"blows_at": 2.0}, "ok"), ("30 m", {"blows_at": 8.0}, "fails"),
])
def test_a_short_that_nothing_says_is_cleared_leaves_a_circuit_unknown(length: str, fuse: dict[str, object],
                                                                       verdict: str) -> None:
    judged = _asked(length, **fuse)
    asked = [each.key for each in judged.not_said if each.kind == "clearing"]
    taken = [each.key for each in assumptions(judged.results) if each.key.endswith("blows_at")]
    fails = bool(found(judged, "no-trip-far-end"))
    assert (asked, fails) == (["circuit.lamp.fuse.blows_at"] if verdict == "unknown" else [], verdict == "fails")
    assert not taken
    assert (judged.verdict("lamp") == "fails") == fails
    if verdict == "unknown":
        assert judged.verdict("lamp") == "unknown"


def test_a_circuit_behind_the_fuse_of_its_feed_is_unknown_too() -> None:
    judged = assessed(kind="mega", rating="100 A", size="16 mm2", length="40 m", insulation="xlpe125",
                      box={"fuse": {"kind": "mega", "rating": "100 A", "distance": "100 mm"}})
    shared = judged.plan.model_dump(by_alias=True, exclude_none=True, mode="json")
    assert shared["circuit"]["lamp"].pop("fuse")
    behind = assess(plan_of(shared))
    assert math.isnan(behind.results.faults.circuit_opens_s[0])
    assert behind.verdict("lamp") != "ok"
    assert any("opening times" in words for words in behind.unknown("lamp"))


@pytest.mark.parametrize(("length", "rests"), [("1 m", False), ("3 m", True)])
def test_safety_does_not_rest_on_a_fuse_that_may_be_left_out(length: str, rests: bool) -> None:
    """A covered cable of at most 72 in to the alternator may go without one (ADR 2017, 9.2.2.3; ABYC E-11 as reported
    by a boating magazine)."""
    with_alternator = data(kind="mini")
    with_alternator["alternator"] = {
        "feed": "battery_post", "earth": "negative", "rated": "90 A",
        "cable": [{"size": "25 mm2", "length": length, "zone": "place", "insulation": "xlpe125", "cover": "sleeve"}],
        "fuse": {"kind": "mega", "rating": "100 A", "distance": "100 mm"}}
    asked = [each for each in assess(plan_of(with_alternator)).not_said if each.kind == "clearing"]
    assert [(each.key, each.safety) for each in asked] == [("alternator.fuse.blows_at", rests)]
