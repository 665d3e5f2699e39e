"""What may go without a fuse is decided by a stated role, a known short length and a stated cover, never by words.

Roles: ADR 2017, 9.2.2.3 (battery to starter, to alternator, to cold-start aid, as short as possible). Lengths: 7 in
bare and 40 in enclosed before the first fuse, 33 CFR 183.455(b); 72 in for a cable from the battery, covered all the
way, ABYC E-11 as retold by a boating magazine.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks import Assessment, assess
from fuseplan.engine.stock import ratings_between
from fuseplan.limits import limit_set
from fuseplan.plan.roles import MAY_BE_UNFUSED
from fuseplan.plan.words import COVERS, FEED_ROLES
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from tests.plans import plan_of, random_plan

REASONS = (None, "runs beside the starter cable to the boot", "starter", "alternator cable, short, in a sleeve",
           "cold-start glow plug feed", "practice leaves it out")
MOTOR = {"current": "150 A", "at": "10 V", "kind": "motor", "use": "momentary", "when": ["crank"], "evidence": "plate"}
PLUGS = {"current": "40 A", "at": "11 V", "kind": "resistive", "use": "intermittent", "when": ["crank"],
         "evidence": "plate"}


def car(wire: dict[str, Any] | None, load: dict[str, Any] = MOTOR, feed: str = "post", **circuit: Any
        ) -> dict[str, Any]:
    """A battery, a starter circuit and nothing else."""
    segment = {"size": "35 mm2", "zone": "bay", "insulation": "xlpe125"}
    return {
        "fuseplan": 1, "battery": {"cold_crank": "500 A", "zone": "bay"}, "zone": {"bay": {"ambient": "60 degC"}},
        "feed": {"post": {"zone": "bay"}}, "earth": {"negative": {}, "engine": {"to": "negative", "engine": True}},
        "circuit": {"cable": {"feed": feed, "earth": "engine", "load": [load], **circuit,
                              "wire": [] if wire is None else [segment | wire]}}}


def missing(data: dict[str, Any], kind: str = "circuit", name: str = "cable") -> list[str]:
    """Levels of the findings of a missing fuse on one part."""
    return [each.level for each in assess(plan_of(data)).findings_for(kind, name) if each.check == "no-fuse"]


@pytest.mark.parametrize("reason", REASONS)
@pytest.mark.parametrize("length", ["0.3 m", "5 m"])
def test_words_never_excuse_a_missing_fuse(reason: str | None, length: str) -> None:
    stated = {} if reason is None else {"unfused": reason}
    data = car({"length": length, "size": "16 mm2", "cover": "sleeve"}, **stated)
    assert missing(data) == ["danger"]
    assessment = assess(plan_of(data))
    assert assessment.verdict("cable") != "ok"
    assert assessment.exit_status == 1
    [finding] = [each for each in assessment.findings if each.check == "no-fuse"]
    assert all(word in finding.fix for word in (*MAY_BE_UNFUSED, "length", "cover"))
    assert reason is None or reason in finding.message
    data["feed"]["stud"] = {"from": "post", **stated, "wire": [{"size": "16 mm2", "length": length}]}
    assert missing(data, "feed", "stud") == ["danger"]


@pytest.mark.one_in(5)
@pytest.mark.parametrize(("role", "load"), [("starter", MOTOR), ("glow_plugs", PLUGS)])
@pytest.mark.parametrize("cover", COVERS)
@pytest.mark.parametrize(("length", "excused"), [
    ("0.5 m", True), ("72 inch", True), ("73 inch", False), ("5 m", False)])
def test_a_role_excuses_a_short_covered_cable_only(role: str, load: dict[str, Any], cover: str, length: str,
                                                   excused: bool) -> None:
    assert missing(car({"length": length, "cover": cover}, load, role=role)) == ([] if excused else ["danger"])
    assert missing(car({"length": length}, load, role=role)) == ["danger"]


@pytest.mark.parametrize("where", ["wire", "feed"])
@pytest.mark.parametrize(("role", "length", "excused"), [("starter", "0.6 m", True), ("starter", "2 m", False),
                                                         (None, "0.6 m", False)])
def test_a_cable_that_may_go_without_a_fuse_may_do_so_behind_a_thicker_one(
        role: str | None, length: str, where: str, excused: bool) -> None:
    """The thicker one before it makes no short in it any worse."""
    stated = {} if role is None else {"role": role}
    data = car({"length": length, "cover": "sleeve"}, **stated)
    thick = {"size": "70 mm2", "length": "0.5 m", "zone": "bay", "insulation": "xlpe125", "cover": "sleeve"}
    if where == "wire":
        data["circuit"]["cable"]["wire"].insert(0, thick)
    else:
        data["feed"]["stud"] = {"from": "post", "role": "battery_link", "wire": [thick]}
        data["circuit"]["cable"]["feed"] = "stud"
    found = {each.check for each in assess(plan_of(data)).findings if each.subject == "cable"}
    assert ("thinner-wire-unprotected" in found) is ("no-fuse" in found) is not excused


def test_a_length_that_is_not_stated_excuses_nothing() -> None:
    assert missing(car({"cover": "sleeve"}, role="starter")) == ["danger"]
    assert missing(car(None, role="starter")) == ["danger"]


@pytest.mark.parametrize("changed", [{"when": ["always"]}, {"when": ["crank", "night"]}, {"when": ["engine"]}])
def test_a_starter_runs_while_cranking_and_at_no_other_time(changed: dict[str, Any]) -> None:
    assert missing(car({"length": "1 m", "cover": "sleeve"}, MOTOR | changed, role="starter")) == ["danger"]


@pytest.mark.parametrize("kind", ["lamp", "motor", "electronic", None])
def test_glow_plugs_are_resistive(kind: str | None) -> None:
    load = {key: value for key, value in (PLUGS | {"kind": kind}).items() if value is not None}
    assert missing(car({"length": "1 m", "cover": "sleeve"}, load, role="glow_plugs")) == ["danger"]


def stud(length: str, cable: str, cover: str | None = "sleeve", on: str = "stud", **circuit: Any) -> dict[str, Any]:
    """The same with a stud between battery and starter."""
    data = car({"length": "0.8 m", "cover": "sleeve"}, feed=on, **circuit)
    wire = {"size": "35 mm2", "length": length, "zone": "bay"} | ({"cover": cover} if cover else {})
    data["feed"]["stud"] = {"from": "post", "wire": [wire], "role": cable}
    return data


@pytest.mark.parametrize(("length", "excused"), [("0.5 m", True), ("1.1 m", False)])
def test_the_length_of_a_cable_counts_from_the_battery_on(length: str, excused: bool) -> None:
    """0.8 m behind a stud: together 1.3 m and 1.9 m, 72 in being 1.83 m."""
    data = stud(length, "starter_cable", role="starter")
    assert missing(data) == ([] if excused else ["danger"])
    assert missing(data, "feed", "stud") == []


def test_a_cable_to_a_stud_must_lead_to_what_its_role_says() -> None:
    assert missing(stud("0.5 m", "starter_cable", role="starter"), "feed", "stud") == []
    assert missing(stud("0.5 m", "starter_cable", on="post", role="starter"), "feed", "stud") == ["danger"]
    fuse = {"kind": "mega", "rating": "300 A"}
    assert missing(stud("0.5 m", "starter_cable", fuse=fuse), "feed", "stud") == ["danger"]
    data = stud("0.5 m", "alternator_cable", role="starter")
    data["alternator"] = {"rated": "60 A", "feed": "post"}
    assert missing(data, "feed", "stud") == ["danger"]
    data["alternator"]["feed"] = "stud"
    assert missing(data, "feed", "stud") == []


def first_order(data: dict[str, Any], kind: str, name: str) -> str:
    """What the fix of the missing fuse on a part asks for first."""
    [finding] = [each for each in assess(plan_of(data)).findings_for(kind, name) if each.check == "no-fuse"]
    return str(finding.fix).partition(", or ")[0]


def test_where_a_role_does_not_fit_what_is_on_the_wire_no_shorter_cable_is_asked_for() -> None:
    """What is asked for first removes the finding."""
    data = stud("0.5 m", "starter_cable")
    assert "state the role `starter`" in first_order(data, "feed", "stud")
    data["circuit"]["cable"]["role"] = "starter"
    assert missing(data, "feed", "stud") == []
    elsewhere = stud("0.5 m", "starter_cable", on="post", role="starter")
    assert "feed the circuit of the starter from it" in first_order(elsewhere, "feed", "stud")
    data = stud("0.5 m", "alternator_cable", role="starter")
    data["alternator"] = {"rated": "60 A", "feed": "post"}
    assert "let the alternator cable end on it" in first_order(data, "feed", "stud")
    short = {"length": "1 m", "cover": "sleeve"}
    always = car(short, MOTOR | {"when": ["engine"]}, role="starter")
    assert "be on only while cranking" in first_order(always, "circuit", "cable")
    assert "set their kind to resistive" in first_order(car(short, PLUGS | {"kind": "motor"}, role="glow_plugs"),
                                                        "circuit", "cable")
    bare = first_order(stud("0.5 m", "starter_cable", cover=None), "feed", "stud")
    assert "state the role `starter`" in bare
    assert "cover it all the way" in bare, "the role alone would leave it bare"


def test_no_fuse_behind_a_cable_is_to_be_left_out_for_its_role() -> None:
    """A cable that ends at the fuse of starter or alternator is a link to that fuse."""
    fuse = {"kind": "mega", "rating": "300 A"}
    starter = stud("0.5 m", "starter_cable", role="starter", fuse=fuse)
    alternator = stud("0.5 m", "alternator_cable", role="starter")
    alternator["feed"]["behind"] = {"from": "stud", "fuse": fuse}
    alternator["alternator"] = {"rated": "60 A", "feed": "behind"}
    for data in (starter, alternator):
        order = first_order(data, "feed", "stud")
        assert "state the role `battery_link`" in order
        assert "no fuse" not in order
        data["feed"]["stud"]["role"] = "battery_link"
        assert missing(data, "feed", "stud") == []


@pytest.mark.parametrize("current", ["100 A", "150 A", "200 A", "400 A", "700 A"])
@pytest.mark.parametrize("length", ["2 m", "5 m"])
@pytest.mark.parametrize("role", [None, "starter"])
def test_no_fuse_is_named_that_does_not_carry_the_load(current: str, length: str, role: str | None) -> None:
    stated = {} if role is None else {"role": role}
    data = car({"length": length, "cover": "sleeve"}, MOTOR | {"current": current, "at": "12 V"}, **stated)
    assessment = assess(plan_of(data))
    [finding] = [each for each in assessment.findings if each.check == "no-fuse"]
    ends = re.search(r"fit a fuse from ([\d.]+) A to ([\d.]+) A, the rating of its thinnest wire", finding.fix)
    least = re.search(r"fit a fuse of ([\d.]+) A or more .*, with a wire rated for that fuse", finding.fix) \
        or re.search(r"needs a fuse of ([\d.]+) A or more, and the largest on file is 300 A", finding.fix)
    assert (ends is None) is not (least is None)
    for rating, checks in ((ends[1], ()), (ends[2], ())) if ends else ((least[1], ("fuse-exceeds-wire",)),):
        data["circuit"]["cable"]["fuse"] = {"kind": "mega", "rating": f"{rating} A", "distance": "100 mm"}
        found = {each.check for each in assess(plan_of(data)).findings if not each.measure}
        assert found & {"no-fuse", "fuse-too-small", "fuse-exceeds-wire"} == set(checks)
    if least and role is not None:
        assert finding.fix.startswith("shorten"), "a longer cable is cheaper to shorten than to replace"


@pytest.mark.parametrize(("length", "cover", "excused"), [
    ("7 inch", None, True), ("8 inch", None, False), ("8 inch", "enclosure", True), ("40 inch", "conduit", True),
    ("41 inch", "conduit", False)])
def test_a_link_from_the_battery_to_the_first_fuses_is_shorter_still(length: str, cover: str | None, excused: bool
                                                                     ) -> None:
    data = stud(length, "battery_link", cover, on="post", role="starter")
    assert missing(data, "feed", "stud") == ([] if excused else ["danger"])


@pytest.mark.parametrize("role", FEED_ROLES)
def test_no_role_of_a_feed_excuses_a_long_or_bare_cable(role: str) -> None:
    for length, cover in (("2 m", "sleeve"), ("0.5 m", None)):
        data = stud(length, role, cover, role="starter")
        data["alternator"] = {"rated": "60 A", "feed": "stud"}
        assert missing(data, "feed", "stud") == ["danger"]


@pytest.mark.parametrize(("length", "cover", "level"), [
    ("1.5 m", "sleeve", None), ("1.5 m", None, "danger"), ("2.5 m", "sleeve", "danger"), (None, "sleeve", "danger")])
@pytest.mark.parametrize("reason", REASONS[:3])
def test_the_alternator_cable_goes_by_the_same_rule(length: str | None, cover: str | None, level: str | None,
                                                    reason: str | None) -> None:
    data = car({"length": "1 m", "cover": "sleeve"}, role="starter")
    stated = {key: value for key, value in (("length", length), ("cover", cover)) if value}
    data["alternator"] = {"rated": "60 A", "cable": [{"size": "16 mm2", "zone": "bay", **stated}]}
    if reason is not None:
        data["alternator"]["unfused"] = reason
    found = [each.level for each in assess(plan_of(data)).findings if each.check == "alternator-cable-unfused"]
    assert found == ([level] if level else [])


def every_plan() -> list[Any]:
    examples = sorted(shipped_folder("examples").glob("*.toml"))
    return [*(pytest.param(read_plan(path), id=path.stem) for path in examples),
            *(pytest.param(plan_of(random_plan(seed)), id=f"random-{seed}") for seed in range(12))]


@pytest.mark.one_in(4)
@pytest.mark.parametrize("plan", every_plan())
def test_no_circuit_or_feed_without_a_fuse_is_silent_unless_role_length_and_cover_are_stated(plan: Any) -> None:
    assessment: Assessment = assess(plan)
    for kind, views in (("circuit", assessment.circuits), ("feed", assessment.feeds)):
        for view in views:
            part = view.circuit if kind == "circuit" else view.feed
            found = [each for each in assessment.findings_for(kind, view.id) if each.check == "no-fuse"]
            if view.is_unfused and not found:
                assert part.role is not None
                assert part.wire
                assert all(segment.cover is not None and segment.length is not None for segment in part.wire)
            assert view.is_unfused or not found


def test_no_smallest_fuse_is_named_for_a_load_that_is_not_known() -> None:
    motor = {key: value for key, value in MOTOR.items() if key not in ("current", "at")}
    order = first_order(car({"length": "2 m", "cover": "sleeve"}, motor), "circuit", "cable")
    assert re.match(r"fit a fuse of [\d.]+ A at most, the rating of its thinnest wire, ", order), order


def carried_out(data: dict[str, Any], kind: str, name: str, order: str) -> dict[str, Any]:
    """The plan with what one way of a fix asks for."""
    data = copy.deepcopy(data)
    part = data[kind][name]
    if "fit a fuse" in order:
        part["fuse"] = {"kind": "mega", "rating": "100 A"}
    if stated := re.search(r"state the role `(\w+)`( for its circuit)?", order):
        (data["circuit"]["cable"] if stated[2] else part)["role"] = stated[1]
    if "feed the circuit of the starter from it" in order:
        data["circuit"]["cable"]["feed"] = name
    if "enter its circuit with the role `starter`, fed from it" in order:
        data["circuit"]["new"] = {"role": "starter", "feed": name, "load": [MOTOR]}
    if "let the alternator cable end on it" in order:
        data["alternator"] = data.get("alternator", {"rated": "60 A"}) | {"feed": name}
    for load in part.get("load", ()):
        load |= {"when": ["crank"]} if "while cranking" in order else {}
        load |= {"kind": "resistive"} if "resistive" in order else {}
    if shorter := re.search(r"shorten the cable to ([\d.]+ m)\b", order):
        part["wire"] = [segment | {"length": shorter[1]} for segment in part["wire"]]
    if "cover it all the way" in order:
        part["wire"] = [segment | {"cover": "sleeve"} for segment in part["wire"]]
    return data


def cables(length: str, cover: str | None) -> Iterator[tuple[str, dict[str, Any]]]:
    """Feeds without a fuse, of each role, with what may be on them; circuits of each role, with loads that fit or
    not."""
    fuse = {"kind": "mega", "rating": "300 A"}
    for role, stated, fitted, on, behind in product(FEED_ROLES, (None, "starter"), (None, fuse), ("stud", "post"), (
            None, "post", "stud", "behind")):
        circuit = {key: value for key, value in (("role", stated), ("fuse", fitted)) if value is not None}
        data = stud(length, role, cover, on, **circuit)
        data["feed"]["behind"] = {"from": "stud", "fuse": fuse}
        yield "feed", data if behind is None else data | {"alternator": {"rated": "60 A", "feed": behind}}
    wire = {"length": length} | ({"cover": cover} if cover else {})
    for named, load in product(MAY_BE_UNFUSED, (MOTOR, PLUGS, MOTOR | {"when": ["engine"]})):
        yield "circuit", car(wire, load, role=named)


@pytest.mark.one_in(3)
@pytest.mark.parametrize("length", ["1.2 m", "0.15 m", "2.5 m"])
@pytest.mark.parametrize("cover", [None, "sleeve"])
def test_each_way_that_a_fix_of_a_missing_fuse_names_removes_it(length: str, cover: str | None) -> None:
    """The role that is to be stated is the one that length and cover are held against."""
    for kind, data in cables(length, cover):
        name = "stud" if kind == "feed" else "cable"
        for finding in assess(plan_of(data)).findings_for(kind, name):
            if finding.check == "no-fuse":
                for order in finding.fix.split(", or "):
                    assert missing(carried_out(data, kind, name, order), kind, name) == [], (order, data)


@pytest.mark.parametrize("size", ["1", "1.5", "2.5"])
@pytest.mark.parametrize("back", ["1", "2.5"])
def test_a_fuse_is_named_that_is_sold_with_the_wires_it_needs(size: str, back: str) -> None:
    """Whatever the load: where no rating lies between what it asks for and what the wire allows, the next one is named,
    and the wires that it needs; fitted as told, it is neither too small nor too large."""
    wire = {"length": "2 m", "zone": "cabin", "insulation": "pvc105"}
    between = 0
    for current in range(8, 28):
        load = {"current": f"{current} A", "at": "13.5 V", "kind": "resistive", "evidence": "measured"}
        data = car({}, load)
        cable = data["circuit"]["cable"]
        cable |= {"wire": [wire | {"size": f"{size} mm2"}], "earth_wire": [wire | {"size": f"{back} mm2"}]}
        [finding] = [each for each in assess(plan_of(data)).findings if each.check == "no-fuse"]
        named = re.search(r"then a fuse of ([\d.]+) A at .*: no rating on file lies between ([\d.]+) A, the smallest "
                          r"for the load, and ([\d.]+) A", finding.fix)
        ends = re.search(r"fit a fuse from ([\d.]+) A to ([\d.]+) A, the rating of its thinnest wire", finding.fix)
        if ends is not None:
            assert ratings_between("blade", float(ends[1]), float(ends[2])), finding.fix
        if named is None:
            continue
        between += 1
        assert not ratings_between("blade", float(named[2]), float(named[3]))
        [fitted] = {*re.findall(r"fit ([\d.]+) mm² in place", finding.fix)}
        cable["wire"][0]["size"] = f"{fitted} mm2" if "of the wire of" in finding.fix else f"{size} mm2"
        cable["earth_wire"][0]["size"] = f"{fitted} mm2" if "the earth wire" in finding.fix else f"{back} mm2"
        cable["fuse"] = {"kind": "blade", "rating": f"{named[1]} A", "distance": "100 mm"}
        assert not {"no-fuse", "fuse-too-small", "fuse-exceeds-wire"} & {
            each.check for each in assess(plan_of(data)).findings if not each.measure}, finding.fix
    assert between


@pytest.mark.parametrize(("length", "role", "asked"), [
    ("0.5 m", "starter", True), ("5 m", "starter", False), ("0.5 m", None, False)])
def test_a_cable_to_the_starter_is_asked_for_its_role_before_a_fuse_is_named(length: str, role: str | None, asked: bool
                                                                            ) -> None:
    """A fuse in the starter's path was named, and proposed, for an isolator's cable of which one word was missing."""
    data = car({"length": "0.4 m", "cover": "sleeve"}, feed="main", **({} if role is None else {"role": role}))
    data["feed"]["main"] = {"from": "post", "zone": "bay", "wire": [
        {"size": "35 mm2", "length": length, "zone": "bay", "insulation": "xlpe125", "cover": "sleeve"}]}
    plan = plan_of(data)
    found = next(each for each in assess(plan).findings_for("feed", "main") if each.check == "no-fuse")
    assert found.level == "danger"
    assert (found.fields[0] == "feed.main.role") == asked
    assert found.fix.startswith("if it is the starter cable, state the role `starter_cable`") == asked
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert (("feed", "main", "fuse") in {each.path for each in proposal.changes}) != asked
    if asked:
        data["feed"]["main"]["role"] = "starter_cable"
        assert missing(data, "feed", "main") == []


@pytest.mark.parametrize(("name", "length", "asked"), [
    ("starter", "1 m", True), ("glow plugs", "1 m", True), ("starter", "5 m", False), ("amplifier", "1 m", False)])
def test_a_circuit_named_as_one_that_may_go_without_a_fuse_is_asked_for_its_role(name: str, length: str, asked: bool
                                                                                 ) -> None:
    """Another insulation and a fuse of 400 A were ordered for a starter cable of which the role was missing."""
    plan = plan_of(car({"length": length, "insulation": "pvc70"}, name=name))
    found = next(each for each in assess(plan).findings if each.check == "no-fuse")
    assert found.level == "danger"
    assert (found.fields[0] == "circuit.cable.role") == found.fix.startswith("if it is ") == asked
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert not (asked and ("circuit", "cable", "fuse") in {each.path for each in proposal.changes})
