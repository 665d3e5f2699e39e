"""Fuse boxes, labels, colours, joints and the fuse range by hand."""

from __future__ import annotations

import random
from collections import defaultdict
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.boxes import answers, free, ways
from fuseplan.checks.rule import Finding
from fuseplan.checks.rules.wire_colour_conflict import conflicting
from tests.advice.worlds import around, one
from tests.plans import plan_of, random_plan

CIRCUIT = """
[circuit.{name}]
feed = "{feed}"
fuse = {{ kind = "{kind}", rating = "{rating} A"{position} }}
wire = [{{ size = "4 mm2", zone = "cabin", insulation = "pvc70", length = "1 m"{wire} }}]
earth = "battery_negative"
earth_wire = [{{ size = "4 mm2", zone = "cabin", insulation = "pvc70", length = "1 m"{earth} }}]
[[circuit.{name}.load]]
current = "{current} A"
at = "14.2 V"
kind = "resistive"
when = ["engine"]
evidence = "measured"
"""


def circuit(name: str = "a", feed: str = "battery_post", kind: str = "glass", rating: float = 10, position: str = "",
            wire: str = "", earth: str = "", current: float = 3) -> str:
    return CIRCUIT.format(name=name, feed=feed, kind=kind, rating=rating, wire=wire, earth=earth, current=current,
                          position=f', position = "{position}"' if position else "")


BOX = """
[fuse_box.old]
feed = "battery_post"
spare = 2
position.F1 = { largest = "15 A", kind = "glass", rating = "8 A" }
position.F2 = { largest = "25 A", kind = "glass" }
position.F3 = { largest = "35 A", kind = "blade" }
"""


def found(text: str, check: str) -> tuple[Assessment, list[Finding]]:
    assessment = assess(around(text), "road")
    return assessment, [each for each in assessment.findings if each.check == check]


@pytest.mark.parametrize(("rating", "kind", "current", "position", "level", "words"), [
    (20, "glass", 3, "F1", "danger", "at most 15 A"),
    (10, "blade", 3, "F1", "danger", "takes glass cartridge fuses"),
    (15, "glass", 9, "F1", "danger", "its supply is rated for 8 A"),
    (10, "glass", 3, "F9", "warning", "there is no position F9"),
])
def test_a_position_refuses_what_it_is_not_made_for(rating: float, kind: str, current: float, position: str, level: str,
                                                    words: str) -> None:
    _, findings = found(BOX + circuit(rating=rating, kind=kind, current=current, position=position),
                        "wrong-fuse-position")
    [finding] = [each for each in findings if each.subject_kind == "circuit"]
    assert finding.level == level
    assert words in finding.message
    assert "position F" in finding.fix or "no free way" in finding.fix


def test_two_fuses_do_not_share_a_way() -> None:
    _, findings = found(BOX + circuit("a", position="F2") + circuit("b", position="F2"), "wrong-fuse-position")
    [finding] = [each for each in findings if each.subject_kind == "circuit"]
    assert (finding.subject, finding.level) == ("b", "warning")
    assert "already used by a" in finding.message


def positioned(seed: int) -> dict[str, Any]:
    """A plan by rule whose fuses name positions, with a fuse box on some of its feeds and one without positions."""
    rng, data = random.Random(seed), random_plan(seed)
    feeds = list(data["feed"])
    data["fuse_box"] = {f"box_{feed}": {"feed": feed, "position": {f"F{way}": {"largest": "30 A"} for way in range(3)}}
                        for feed in feeds if rng.random() < 0.4}
    data["fuse_box"]["bare"] = {"feed": rng.choice(feeds)}
    parts = [*data["circuit"].values(), *data["feed"].values(), *([data["alternator"]] if "alternator" in data else [])]
    for part in parts:
        if "fuse" in part and rng.random() < 0.8:
            part["fuse"]["position"] = f"F{rng.randrange(5)}"
    return data


@pytest.mark.one_in(4)
@pytest.mark.parametrize("seed", range(20))
def test_every_position_that_is_named_is_checked_or_said_to_be_uncheckable(seed: int) -> None:
    """Against a plain look-up: one fuse a position and feed; positions that exist; feeds without positions named."""
    plan = plan_of(positioned(seed))
    assessment = assess(plan, "road")
    said: dict[tuple[str, str], str] = defaultdict(str)
    for finding in assessment.findings:
        if finding.check == "wrong-fuse-position":
            said[finding.subject_kind, finding.subject] += finding.message + "; "
    taken: set[tuple[str, str]] = set()
    for row in assessment.results.network.fuses:
        kind, name = row.owner
        position = row.fuse.position
        if position is None:
            continue
        feed = plan.circuit[name].feed if kind == "circuit" else plan.feed[name].upstream if kind == "feed" else \
            plan.alternator.feed
        subject = (kind, name or kind)
        assert (f"position {position} of" in said[subject] and "is already used by" in said[subject]) == \
            ((feed, position) in taken)
        taken.add((feed, position))
        ways_there = [way for box in plan.fuse_box.values() if box.feed == feed for way in box.position]
        unknown = bool(ways_there) and position not in ways_there
        assert (f"there is no position {position} in" in said[subject]) == unknown
        uncheckable = "cannot be checked" in said["feed", feed] and position in said["feed", feed]
        assert uncheckable == (not ways_there)
    assert taken


def test_what_is_missing_for_a_position_to_be_checked_is_said() -> None:
    text = circuit("a", position="F2") + circuit("b", position="F4")
    _, [finding] = found(text, "wrong-fuse-position")
    assert (finding.subject_kind, finding.level) == ("feed", "advice")
    assert "F2, F4 cannot be checked: no fuse box is stated on feed battery_post" in finding.message
    _, [finding] = found('[fuse_box.old]\nfeed = "battery_post"\n' + text, "wrong-fuse-position")
    assert "fuse box old has no positions stated" in finding.message


def test_spare_ways_are_counted() -> None:
    assessment, findings = found(BOX + circuit("a", position="F2") + circuit("b", position="F1"), "wrong-fuse-position")
    assert free(assessment.results, "old") == 1
    [finding] = findings
    assert (finding.subject_kind, finding.subject, finding.level) == ("fuse_box", "old", "advice")
    assert [way.position for way in ways(assessment.results, "old") if way.is_free] == ["F3"]


def test_the_ways_a_circuit_may_take_come_smallest_first() -> None:
    assessment, _ = found(BOX + circuit("a", position="F1") + circuit("b"), "wrong-fuse-position")
    index = assessment.fuse_of["circuit", "b"]
    said = [(each.way.position, each.why_not) for each in answers(assessment.results, index)]
    assert said[0] == ("F2", None)
    assert dict(said)["F1"] == "a is there"
    assert "blade" in str(dict(said)["F3"])


def test_a_box_on_another_feed_is_no_place_for_a_circuit() -> None:
    text = BOX + '[feed.other]\nfrom = "battery_post"\n' + circuit("a", feed="other", position="F1")
    assessment, findings = found(text, "wrong-fuse-position")
    assert not [each for each in findings if each.subject_kind == "circuit"]
    unchecked, = [each for each in findings if each.subject == "other"]
    assert "no fuse box is stated on feed other; fuse box old has one, on feed battery_post" in unchecked.message
    assert all(way.is_free for way in ways(assessment.results, "old"))


def test_the_stretches_of_one_wire_share_their_label() -> None:
    series = one().model_copy()
    assert not [each for each in assess(series, "road").findings if each.check == "duplicate-label"]
    first = '{ size = "4 mm2", length = "1 m", zone = "cabin", insulation = "pvc70", label = "W1" }'
    two = around(circuit("a", wire=', label = "W1"').replace("wire = [{", f"wire = [{first}, {{", 1))
    assert len(two.circuit["a"].wire) == 2
    assert not [each for each in assess(two, "road").findings if each.check == "duplicate-label"]
    _, findings = found(circuit("a", wire=', label = "W1"') + circuit("b", wire=', label = " w1"'), "duplicate-label")
    assert [each.subject for each in findings] == ["b"]


def test_brown_and_black_mean_earth_in_one_scheme_and_live_in_the_other() -> None:
    """DIN 72551 (a hobby page): brown earth, black ignition; BS AU 7 (from memory): brown battery feed, black earth."""
    assert set(conflicting()) == {"BN", "BK"}


@pytest.mark.parametrize(("out", "back", "origins", "level"), [
    ("BN", "BN", ("existing", "donor"), "warning"), ("BK", "BK", ("new", "existing"), "warning"),
    ("BN", "BN", ("new", "new"), "advice"), ("RD", "RD", ("existing", "donor"), "advice"),
    ("BN", "BNWH", ("existing", "donor"), None), ("RD", "BN", ("existing", "donor"), None),
])
def test_a_colour_is_not_both_live_and_earth(out: str, back: str, origins: tuple[str, str], level: str | None) -> None:
    text = circuit(wire=f', colour = "{out}", origin = "{origins[0]}"',
                   earth=f', colour = "{back}", origin = "{origins[1]}"')
    _, findings = found(text, "wire-colour-conflict")
    assert [each.level for each in findings] == ([] if level is None else [level])


RUNS = """
[run.first]
from = "a"
to = "b"
length = "1 m"
[run.second]
from = "c"
to = "b"
length = "1 m"
"""


def along(name: str, runs: str, place: str) -> str:
    return circuit(name).replace('zone = "cabin", insulation = "pvc70", length = "1 m" }]\nearth =',
                                 f'insulation = "pvc70", along = {runs}, joint = {{ place = "{place}" }} }}]\nearth =')


# 40 mm: a car maker's workshop manual, 2007; 50 and 51 mm: two others, 1996 and 2001.
@pytest.mark.parametrize(("gap_mm", "is_found"), [(39, True), (45, True), (50, True), (51, False), (60, False)])
def test_joints_in_one_run_are_51_mm_apart(gap_mm: int, is_found: bool) -> None:
    text = RUNS + along("a", '["first"]', "300 mm") + along("b", '["first"]', f"{300 + gap_mm} mm")
    _, findings = found(text, "joints-side-by-side")
    assert bool(findings) is is_found
    assert all(each.figure == pytest.approx(gap_mm / 1000) for each in findings)


def test_joints_are_measured_along_the_way_the_wire_goes() -> None:
    """1.3 m along `first` then `second` is 0.3 m into `second` from its far end: 0.7 m from where that run begins."""
    near = RUNS + along("a", '["first", "second"]', "1.3 m") + along("b", '["second"]', "710 mm")
    far = RUNS + along("a", '["first", "second"]', "1.3 m") + along("b", '["second"]', "300 mm")
    assert found(near, "joints-side-by-side")[1]
    assert not found(far, "joints-side-by-side")[1]


def test_a_thinner_branch_needs_a_fuse_unless_the_one_before_suits_it() -> None:
    """DIN VDE 0298-4:2023 table 11, 30 °C, 70 °C insulation: 0.75 mm² 15 A; at 25 °C √(45/40) times that, 15.9 A."""
    def branch(rating: float) -> str:
        return circuit("a", kind="blade", rating=rating).replace(
            'evidence = "measured"', 'evidence = "measured"\n'
            'wire = [{ size = "0.75 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }]')

    assert not found(branch(15), "thinner-wire-unprotected")[1]
    [finding] = found(branch(20), "thinner-wire-unprotected")[1]
    assert finding.limit == pytest.approx(15 * (45 / 40) ** 0.5, rel=1e-6)
    assert finding.level == "danger"


def test_the_fuse_range_by_hand() -> None:
    """6 A continuous ask for 8 A at 75 %; 2.5 mm² carries 32 A at 30 °C (table 11), at 25 °C √(45/40) times that."""
    fitted = assess(one(), "road").circuit("one").fuse
    assert fitted is not None
    assert fitted.range_a.low == pytest.approx(8.0, rel=1e-3)
    assert fitted.range_a.high == pytest.approx(32 * (45 / 40) ** 0.5, rel=1e-6)
    assert assess(one(fuse=""), "road").circuit("one").fuse is None
