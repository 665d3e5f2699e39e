"""A circuit without a fuse of its own that its feed's fuse does not protect is one entry with one fix, and that fix
removes all of it."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.checks.causes import remedied_at
from fuseplan.checks.own_fuse import unprotected
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value, without
from tests.laws.test_silence_never_helps import GOOD

PLAIN = {(each.check, each.subject) for each in assess(Plan.model_validate(tomllib.loads(GOOD))).findings}


@pytest.mark.parametrize(("circuit", "size", "fitted"), [
    ("lamps", "2.5 mm2", "20 A"), ("lamps", "1 mm2", "10 A"), ("clock", "1 mm2", "10 A"), ("fan", "4 mm2", ""),
])
def test_one_missing_fuse_is_one_entry_whose_fix_removes_all_of_it(circuit: str, size: str, fitted: str) -> None:
    data: Any = without(tomllib.loads(GOOD), ("circuit", circuit, "fuse"))
    data = with_value(data, ("circuit", circuit, "wire", 0, "size"), size)
    new = [each for each in assess(Plan.model_validate(data)).findings if (each.check, each.subject) not in PLAIN]
    assert len(new) > 2
    assert len([each for each in new if each.cause is None]) == 1
    fixes = {each.fix for each in new}
    assert len(fixes) == 1
    fix = fixes.pop()
    if fitted:
        assert {remedied_at(each) for each in new} == {f"circuit.{circuit}.fuse.rating"}
        most = re.search(r"at most ([\d.]+) A", fix)
        assert most is not None
        assert float(fitted.split()[0]) <= float(most[1])
        mended = with_value(data, ("circuit", circuit, "fuse"), {"kind": "blade", "rating": fitted})
    else:
        assert {remedied_at(each) for each in new} == {"feed.bus.fuse.rating"}
        smaller = re.match(r"fit (\d+ A) at bus", fix)
        assert smaller is not None
        mended = with_value(data, ("feed", "bus", "fuse", "rating"), smaller[1])
    left = {(each.check, each.subject) for each in assess(Plan.model_validate(mended)).findings if not each.measure}
    assert not left & {(each.check, each.subject) for each in new}


def entries(data: Any, among: set[str]) -> list[Any]:
    found = assess(Plan.model_validate(data)).findings
    return [each for each in found if each.cause is None and {each.subject, *(found[number].subject
                                                                             for number in each.follows)} & among]


@pytest.mark.parametrize("current", ["160 A", "60 A"])
def test_a_long_starter_cable_without_a_fuse_is_one_entry_with_the_thinner_wire_to_the_starter_behind_it(
        current: str) -> None:
    data: Any = tomllib.loads(GOOD)
    data["feed"]["stud"] = {"from": "post", "zone": "bay", "role": "starter_cable", "wire": [
        {"size": "70 mm2", "length": "4 m", "zone": "bay", "insulation": "xlpe125", "cover": "sleeve"}]}
    data = with_value(data, ("circuit", "starter", "feed"), "stud")
    data = with_value(data, ("circuit", "starter", "load", 0, "current"), current)
    checks = ("no-fuse", "thinner-wire-unprotected")
    finding, = (each for each in entries(data, {"stud", "starter"}) if each.check in checks)
    assert finding.subject == "stud"
    assert [(each.check, each.subject) for each in assess(Plan.model_validate(data)).findings
            if each.check in checks] == [("no-fuse", "stud"), ("no-fuse", "starter"), (checks[1], "starter")]
    mended = with_value(data, ("feed", "stud", "fuse"), {
        "kind": "mega", "rating": "225 A", "blows_at": 3.5, "distance": "100 mm"})
    assert not [each for each in assess(Plan.model_validate(mended)).findings if each.check in checks]


@pytest.mark.parametrize(("length", "first"), [("2.2 m", "shorten the cable to 1.82 m"), ("5 m", "fit a fuse")])
def test_a_cable_that_is_nearly_short_enough_is_shortened_first(length: str, first: str) -> None:
    data: Any = with_value(tomllib.loads(GOOD), ("circuit", "starter", "wire", 0, "length"), length)
    finding, = (each for each in entries(data, {"starter"}) if each.check == "no-fuse")
    assert finding.fix.startswith(first)
    bare = without(with_value(data, ("circuit", "starter", "wire", 0, "length"), "1 m"),
                   ("circuit", "starter", "wire", 0, "cover"))
    finding, = (each for each in entries(bare, {"starter"}) if each.check == "no-fuse")
    assert finding.fix.startswith("shorten the cable to 1.82 m from the battery, cover it all the way")


def test_a_feed_without_a_fuse_whose_wire_gets_thinner_is_one_entry() -> None:
    data: Any = without(tomllib.loads(GOOD), ("feed", "bus", "fuse"))
    data["feed"]["link"] = {"from": "post", "zone": "cabin", "wire": data["feed"]["bus"]["wire"]}
    data = with_value(data, ("feed", "bus", "from"), "link")
    data = with_value(data, ("feed", "bus", "wire", 0, "size"), "10 mm2")
    about = [each for each in assess(Plan.model_validate(data)).findings if each.subject == "bus"
             and each.check in ("no-fuse", "thinner-wire-unprotected")]
    assert {each.check for each in about} == {"no-fuse", "thinner-wire-unprotected"}
    assert len([each for each in entries(data, {"bus"}) if each.check in ("no-fuse", "thinner-wire-unprotected")]) == 1


@pytest.mark.parametrize("length", ["1 m", "8 m"])
def test_a_feed_without_a_fuse_behind_one_too_large_for_its_wire_is_one_entry_mended_by_a_fuse_of_its_own(
        length: str) -> None:
    data: Any = tomllib.loads(GOOD)
    data["feed"]["stud"] = {"from": "post", "zone": "bay", "wire": [
        {"size": "70 mm2", "length": "1 m", "zone": "bay", "insulation": "xlpe125", "cover": "sleeve"}], "fuse": {
            "kind": "mega", "rating": "200 A", "blows_at": 3.5, "distance": "100 mm"}}
    data = without(with_value(data, ("feed", "bus", "from"), "stud"), ("feed", "bus", "fuse"))
    data = with_value(data, ("feed", "bus", "wire", 0, "length"), length)
    about = [each for each in assess(Plan.model_validate(data)).findings
             if each.subject in ("stud", "bus") and each.level == "danger"]
    assert len(about) > 1
    assert ("no-trip-far-end" in {each.check for each in about}) is (length == "8 m")
    leading, = (each for each in about if each.cause is None)
    assert remedied_at(leading) == "feed.bus.fuse.rating"
    most = re.search(r"a fuse of its own of at most ([\d.]+) A where the wire to bus starts", leading.fix)
    assert most is not None
    assert 50.0 <= float(most[1]) <= 70.0, "every wire behind it"
    mended = with_value(data, ("feed", "bus", "fuse"), {"kind": "maxi", "rating": "50 A", "distance": "100 mm"})
    assert not [each for each in assess(Plan.model_validate(mended)).findings
                if (each.check, each.subject) in {(other.check, other.subject) for other in about}]
    proposal = propose(Plan.model_validate(data), limit_set("road"), look_for_savings=False)
    fed = [change.path for change in proposal.changes if change.path[:2] in (("feed", "bus"), ("feed", "ignition"))]
    assert [path for path in fed if path[2:] == ("fuse",)]
    assert not [path for path in fed if path[-1] in ("size", "insulation")]
    assert not [each for each in proposal.after.findings if each.subject in ("stud", "bus") and each.level == "danger"]


@pytest.mark.parametrize("current", [8.0, 10.5, 11.3, 13.0, 14.5, 30.0])
def test_a_circuit_without_a_fuse_that_gets_thinner_is_one_entry_and_says_what_no_fuse_does(current: float) -> None:
    data: Any = without(tomllib.loads(GOOD), ("circuit", "lamps", "fuse"))
    data = with_value(data, ("circuit", "lamps", "feed"), "post")
    load = {"current": f"{current} A", "at": "12 V", "kind": "resistive", "evidence": "measured"}
    data = with_value(data, ("circuit", "lamps", "load"), [load])
    wire = data["circuit"]["lamps"]["wire"][0]
    data = with_value(data, ("circuit", "lamps", "wire"), [{**wire, "size": "4 mm2"}, {**wire, "size": "0.75 mm2"}])
    about = [each for each in entries(data, {"lamps"}) if each.check in ("no-fuse", "thinner-wire-unprotected")]
    assert [each.check for each in about] == ["no-fuse"]
    thinner, = (each for each in assess(Plan.model_validate(data)).findings if each.check == "thinner-wire-unprotected")
    assert "does not carry" not in thinner.fix
    said = re.search(r"needs ([\d.]+) A or more, and protects the thinner wire, which allows ([\d.]+) A", thinner.fix)
    # Ratings sold by the blade fuse list on file.
    sold = [rating for rating in (5, 7.5, 10, 15, 20, 25, 30) if said and float(said[1]) <= rating <= float(said[2])]
    assert not sold
    assert (said is None) == ("a fuse of at most" in thinner.fix)
    assert said is None or float(said[1]) > current


def test_a_feed_without_a_wire_needs_no_fuse_of_its_own() -> None:
    data: Any = tomllib.loads(GOOD)
    data["feed"]["bar"] = {"from": "bus", "zone": "cabin"}
    data["circuit"]["lamps"] = {**data["circuit"]["lamps"], "feed": "bar"}
    results = assess(Plan.model_validate(data)).results
    device = next(index for index, row in enumerate(results.network.fuses) if row.owner == ("feed", "bus"))
    assert unprotected(results, device, ("feed", "bar")) is None
