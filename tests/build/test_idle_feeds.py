"""A feed with nothing on it yet is neither bought nor tested, and that is said; one that anything needs is."""

from __future__ import annotations

import copy
import re
import tomllib
from typing import Any

import pytest

from fuseplan.bench.first_power import first_power
from fuseplan.bench.sheet_before_power import before_power
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.checks.assessment import assess
from fuseplan.papers.paper import Table, Wishes, Words
from fuseplan.papers.sheets import buy_list, connectors, cut_list, earth_map, labels, loom_drawing, run_table
from fuseplan.plan.idle_feeds import NOTHING_YET, idle_feeds
from fuseplan.planfile.starter import starter_plan
from tests.plans import plan_of

NEW: dict[str, Any] = tomllib.loads(starter_plan("A car", ()))


def with_circuit(**circuit: Any) -> dict[str, Any]:
    data = copy.deepcopy(NEW)
    data["circuit"] = {"lamp": {"earth": next(iter(data["earth"])), "fuse": {"kind": "blade", "rating": "10 A"},
                                "load": [{"current": "4 A", "at": "13 V", "kind": "lamp"}], **circuit}}
    return data


def facts_of(data: dict[str, Any]) -> BuildFacts:
    return build_facts(assess(plan_of(data)))


def bought(facts: BuildFacts) -> set[str]:
    return {place for line in facts.buying if line.group in ("Fuses", "Holders", "Relays") for place in line.used}


@pytest.mark.parametrize("circuit", [
    {"feed": "main_bus"}, {"feed": "lamp_bus"}, {"feed": "engine_bus"}, {"feed": "crank_bus"},
    {"feed": "main_bus", "relay": {"contact": "mini_40", "coil_feed": "coils_58"}},
], ids=str)
def test_what_nothing_needs_is_not_bought_and_what_anything_needs_is(circuit: dict[str, Any]) -> None:
    data = with_circuit(**circuit)
    plan, facts = plan_of(data), facts_of(data)
    idle = idle_feeds(plan)
    assert 0 < len(idle) < len(plan.feed)
    needed = {circuit["feed"], *([circuit["relay"]["coil_feed"]] if "relay" in circuit else [])}
    way, seen = list(needed), set(needed)
    while way:
        feed = plan.feed[way.pop()]
        more = {feed.upstream, None if feed.relay is None else feed.relay.coil_feed} - {None} - seen
        seen |= more
        way += more
    assert not seen & idle, "a feed on the way, or of a coil on it, is needed"
    titles = {name: feed.name for name, feed in plan.feed.items()}
    for name, feed in plan.feed.items():
        if feed.fuse is not None:
            assert (titles[name] in bought(facts)) == (name not in idle)
    wired = {piece.number: piece.owner[1] for piece in facts.pieces if piece.owner[0] == "feed"}
    assert set(wired.values()) & idle
    wires = {number for line in facts.buying if line.group == "Wire" for number in line.used}
    assert {name for number, name in wired.items() if number in wires} == set(wired.values()) - idle
    for listing in (buy_list.blocks, cut_list.blocks, labels.blocks):
        listed = [*listing(facts.assessment, Wishes())]
        said = " ".join(block.text for block in listed if isinstance(block, Words))
        assert all(str(titles[name]) in said for name in idle)
        cells = {cell for block in listed if isinstance(block, Table) for row in block.rows for cell in row[:1]}
        if listing is not buy_list.blocks:
            assert {name for number, name in wired.items() if number in cells} == set(wired.values()) - idle
    unbuilt = {titles[name] for name in idle} | {f"wire {number}" for number, name in wired.items() if name in idle}
    assert not unbuilt & {point.subject for point in facts.open_points}
    steps = {step.subject for step in first_power(facts.assessment) if step.kind == "feed"}
    assert not steps & idle
    assert circuit["feed"] in steps or circuit["feed"] == "crank_bus"
    for entry in before_power(facts.assessment):
        if entry.point.kind == "feed":
            is_idle = entry.point.subject in idle
            assert not (is_idle and entry.required)
            assert entry.point.what != "earth_ohm" or entry.note.endswith(NOTHING_YET) == is_idle


def test_no_paper_to_build_from_has_a_wire_that_is_not_cut() -> None:
    """Not in its run, whose bundle is as thick as what lies in it; nor on a pin, in a splice or on an earth point."""
    data = with_circuit(feed="main_bus")
    data["run"] = {"sill": {"from": "front", "to": "back", "length": "2 m", "sleeve": "corrugated tube"}}
    data["connector"] = {"plug": {"pin": {"1": {"fate": "keep"}}}}
    for feed in data["feed"].values():
        for segment in feed.get("wire", ()):
            segment.update(along=["sill"], joint={"method": "crimp"}, end={"connector": "plug", "pin": "1"})
            del segment["length"]
    facts = facts_of(data)
    left_out = {piece.number for piece in facts.pieces} - {piece.number for piece in facts.needed}
    laid = {piece.number for piece in facts.needed if piece.runs}
    assert left_out
    assert laid
    (bundle,) = facts.bundles
    assert {piece.number for piece in bundle.pieces} == laid
    for sheet in (run_table, loom_drawing, connectors, earth_map, cut_list, labels, buy_list):
        listed = [*sheet.blocks(facts.assessment, Wishes())]
        cells = {number for block in listed if isinstance(block, Table) for row in block.rows for cell in row
                 for number in re.findall(r"[^\s,;()]+", str(cell))}
        assert not left_out & cells, sheet.__name__
        assert cells & laid or sheet is earth_map
        assert any(isinstance(block, Words) and "Nothing on these feeds yet" in block.text for block in listed)


def test_a_feed_that_is_live_without_a_fuse_of_its_own_stays_tested() -> None:
    plan = plan_of(with_circuit(feed="main_bus"))
    idle = idle_feeds(plan)
    assert plan.feed["light_bus"].fuse is None
    assert "light_bus" not in idle, "it hangs on the permanent bus"
    assert {"accessory_bus", "ignition_bus"} <= idle, "these are dead without the fuse of the switched buses"
