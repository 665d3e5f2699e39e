"""A proposal's text says once what many changes share, drops none, and parts no fuse from its wire."""

from __future__ import annotations

from fuseplan.advice import propose
from fuseplan.advice.proposal import Proposal
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.papers.proposed_changes import JOINED_FROM, reason_words
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan

HEAD = """
fuseplan = 1
[vehicle]
system = "12 V"
[battery]
capacity = "60 Ah"
cold_crank = "150 A"
[zone.cabin]
ambient = "30 degC"
[feed.battery_post]
[earth.battery_negative]
"""
CIRCUIT = """
[circuit.{name}]
feed = "battery_post"
fuse = {{ kind = "blade", distance = "100 mm", zone = "cabin" }}
wire = [{{ size = "2.5 mm2", length = "{length}", zone = "cabin" }}]
earth = "battery_negative"
[[circuit.{name}.load]]
kind = "resistive"
at = "12 V"
current = "8 A"
use = "prolonged"
when = ["always"]
evidence = "measured"
"""
REASON = "no rating entered: suits load and wire"


def proposed(lengths: list[str]) -> Proposal:
    circuits = (CIRCUIT.format(name=f"branch{number}", length=length) for number, length in enumerate(lengths))
    return propose(parse_plan(HEAD + "".join(circuits)), limit_set("road"), look_for_savings=False)


def section(found: Proposal, full: bool = False) -> list[str]:
    lines = propose_text(found, 110, full=full).splitlines()
    first = next(at for at, line in enumerate(lines) if line.startswith("Changes"))
    assert lines[first] == f"Changes ({len(found.changes)})"
    return lines[first:lines.index(next(line for line in lines[first:] if line.startswith("Now:")))]


def test_a_reason_that_many_parts_share_stands_once_and_no_change_is_dropped() -> None:
    found = proposed(["1 m"] * JOINED_FROM)
    assert len(found.changes) == JOINED_FROM
    lines = section(found)
    assert sum(REASON in line for line in lines) == 1
    for each in found.changes:
        assert [line.split()[-2:] for line in lines if f"circuit {each.subject} " in line] == [each.new.split()]


def test_fewer_keep_their_reason_in_the_row() -> None:
    lines = section(proposed(["1 m"] * (JOINED_FROM - 1)))
    assert sum(REASON in line for line in lines) == JOINED_FROM - 1


def test_what_changes_in_one_part_stays_together() -> None:
    found = proposed([*["1 m"] * JOINED_FROM, "9 m"])
    both = f"branch{JOINED_FROM}"
    changes = [each for each in found.changes if each.subject == both]
    assert {str(each.path[2]) for each in changes} == {"fuse", "wire"}
    lines = section(found)
    rows = [at for at, line in enumerate(lines) if f"circuit {both} " in line]
    assert len(rows) == len(changes)
    assert rows[-1] - rows[0] == len(rows) - 1
    assert sum(REASON in line for line in lines) == 2


def test_the_full_text_says_the_figures_of_each() -> None:
    found = proposed(["1 m"] * JOINED_FROM)
    lines = section(found, full=True)
    assert sum("fuse-too-small" in line for line in lines) == JOINED_FROM
    assert not any("with the same reason" in line for line in lines)


def test_what_no_current_asks_for_as_entered_is_to_be_measured_first() -> None:
    """A sunroof of 20 A entered, 25 A at most: its wire is thick enough for the first and thickened for the second."""
    found = propose(parse_plan(starter_plan("new", ("sunroof",))), limit_set("road"), look_for_savings=False)
    [wire] = [each for each in found.changes if each.check == "voltage-drop"]
    assert reason_words(wire) == "voltage drop too high; measure first"
    assert {each.measure for each in found.before.findings if each.check == wire.check} == {True}
    [certain] = [each for each in proposed(["12 m"]).changes if each.check == wire.check]
    assert reason_words(certain) == "voltage drop too high"
