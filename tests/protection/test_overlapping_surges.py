"""Loads that start at the same moment draw their surges at the same moment, through the fuse they share."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.advice.worlds import around
from tests.plans import cabin_wire, circuit_text, fuse, load

ROAD = limit_set("road")


def fan(**keys: object) -> dict[str, object]:
    return load("8 A", **{"kind": "motor", "inrush": 4, "inrush_time": "500 ms", "when": ["engine"], **keys})


def on_one_fuse(*loads: dict[str, object], rating: str = "20 A") -> Plan:
    return around(circuit_text("fans", *loads, fuse=fuse(rating), wire=cabin_wire("10 mm2", "1 m", "pvc105")))


def blows(assessment: Assessment, subject: str) -> bool:
    return any(each.check == "blows-at-switch-on" and each.subject == subject and not each.measure
               for each in assessment.findings)


def surge(plan: Plan) -> float:
    inrush = assess(plan, "road").results.inrush
    return float(inrush.through_a[inrush.device >= 0].max())


def test_two_motors_on_one_fuse_surge_together() -> None:
    """Each starts with 4 times 8 A: 32 A, and both with 64 A, where one beside the other running would be 40 A."""
    assert surge(on_one_fuse(fan())) == pytest.approx(32, rel=0.05)
    assert surge(on_one_fuse(fan(), fan())) == pytest.approx(64, rel=0.05)
    assert surge(on_one_fuse(fan(), load("8 A"))) == pytest.approx(40, rel=0.05)


def test_loads_that_are_never_on_together_do_not() -> None:
    """Nor in one condition: the other counts as running at most."""
    assert surge(on_one_fuse(fan(either="speed"), fan(either="speed"))) == pytest.approx(32, rel=0.05)
    assert surge(on_one_fuse(fan(when=["engine"]), fan(when=["parked"]))) == pytest.approx(40, rel=0.05)


def test_beside_another_load_one_of_a_group_starts() -> None:
    """32 A and one of the two fans with 32 A, not both; the finding names one of them."""
    pump = load("8 A", name="Pump", kind="motor", inrush=4, inrush_time="500 ms", when=["engine"])
    plan = on_one_fuse(pump, fan(name="Fan one", either="speed"), fan(name="Fan two", either="speed"))
    assert surge(plan) == pytest.approx(64, rel=0.05)
    [found] = [each for each in assess(plan, "road").findings if each.check == "blows-at-switch-on"]
    assert sum(name in found.message for name in ("Pump", "Fan one", "Fan two")) == 2


def test_a_shorter_surge_is_over_before_the_longer_one_is() -> None:
    """The 5 ms of a lamp add nothing to the half second of a motor; the motor's lie under all of the lamp's."""
    lamp = load("2 A", kind="lamp", inrush=10, inrush_time="5 ms")
    assert surge(on_one_fuse(fan(), lamp)) == pytest.approx(32 + 20, rel=0.06)
    inrush = assess(on_one_fuse(fan(), lamp), "road").results.inrush
    assert float(inrush.through_a[0]) == pytest.approx(32 + 2, rel=0.06)


BUS = """
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "maxi", rating = "{rating}" }}
wire = [{{ size = "16 mm2", length = "0.5 m", zone = "cabin", insulation = "pvc105" }}]
"""


def shared_feed(rating: str, word: str = "engine", **keys: object) -> Plan:
    text = BUS.format(rating=rating)
    for name, when in (("left", "engine"), ("right", word)):
        text += circuit_text(name, fan(inrush=6, inrush_time="3 s", when=[when], **keys), feed="bus",
                             fuse=fuse("40 A"), wire=cabin_wire("10 mm2", "1 m", "pvc105"))
    return around(text)


def test_two_motors_behind_a_shared_feed_are_held_against_its_fuse() -> None:
    """Twice 48 A for 3 s: a 20 A maxi fuse may open after 1 s at 40 A (Littelfuse 299 datasheet); a 60 A one carries
    the 96 A for long."""
    small = assess(shared_feed("20 A"), "road")
    assert blows(small, "bus")
    [found] = [each for each in small.findings if each.check == "blows-at-switch-on" and each.subject == "bus"]
    assert "together" in found.message
    assert not blows(assess(shared_feed("60 A"), "road"), "bus")


def test_motors_that_come_on_for_different_reasons_do_not_start_together() -> None:
    assert not blows(assess(shared_feed("30 A", "rain"), "road"), "bus")


def test_of_motors_that_are_never_on_together_one_starts() -> None:
    """48 A for 3 s through a 30 A maxi fuse, whichever starts; together it would be 96 A."""
    assert blows(assess(shared_feed("30 A"), "road"), "bus")
    assert not blows(assess(shared_feed("30 A", either="speed"), "road"), "bus")


@pytest.mark.parametrize("third", [False, True], ids=["alone", "beside_a_third"])
def test_of_a_group_the_largest_surge_that_lasts_counts_not_their_sum(third: bool) -> None:
    """A small load that starts hard for 0.3 s and a large one that starts slowly for 2 s: neither outdoes the other,
    yet they are never on together."""
    text = BUS.format(rating="30 A")
    for name, amps, keys in (("hard", "6 A", {"inrush": 10, "inrush_time": "300 ms"}),
                             ("slow", "12 A", {"inrush": 4, "inrush_time": "2 s"})):
        text += circuit_text(name, load(amps, kind="motor", either="one", **keys), feed="bus",
                             fuse=fuse("40 A", "maxi"), wire=cabin_wire("10 mm2", "1 m", "pvc105"))
    if third:
        text += circuit_text("third", load("5 A", kind="motor", inrush=2, inrush_time="2 s"), feed="bus",
                             fuse=fuse("20 A"), wire=cabin_wire("10 mm2", "1 m", "pvc105"))
    results = assess(around(text), "road").results
    starts, running = results.surges.starts, results.network.consumers.reference_a
    by_running = {float(running[one]): float(through) for one, through in
                  zip(starts.load[:starts.shared], starts.through_a[0, :starts.shared], strict=True)}
    beside = 10 if third else 0
    assert by_running[12.0] == pytest.approx(48 + beside, rel=0.02)
    # The larger running current of the two is taken as flowing, too: it errs to the safe side.
    assert by_running[6.0] == pytest.approx(12 + 54 + beside, rel=0.02)


def test_a_proposal_withstands_the_start_of_both() -> None:
    proposal = propose(shared_feed("20 A"), ROAD)
    assert not blows(proposal.after, "bus")
    rating = next(change for change in proposal.changes if change.path == ("feed", "bus", "fuse", "rating"))
    assert float(str(rating.new).split()[0]) > 20
