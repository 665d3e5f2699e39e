"""Wires too thin, fuses too large or too small for their load: what a fix names as fuse and wire leaves none of these
faults, and is what a proposal fits where no drop asks for more copper."""

from __future__ import annotations

import random
import re
from functools import cache

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from fuseplan.plan.references import Path
from tests.advice.test_a_second_proposal_changes_nothing import proposed_for_car
from tests.advice.worlds import around
from tests.plans import path_of

FAULTS = {"fuse-exceeds-wire", "wire-overloaded", "wire-damaged-by-short", "thinner-wire-unprotected", "fuse-too-small",
          "blows-at-switch-on"}
SIZES = ("0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2")
SEEDS = [4, *(pytest.param(seed, marks=pytest.mark.rest) for seed in (*range(4), *range(5, 10), *range(11, 30)))]


@cache
def mutated(seed: int) -> Proposal:
    """The proposal for a car with what was proposed for it, some of its fuses then larger or smaller, some of its wires
    thinner or thicker."""
    first, chance = proposed_for_car(seed), random.Random(seed)
    edits: dict[Path, object] = {}
    for row in first.after.results.network.fuses:
        sold = ladder(row.fuse.kind)
        if row.owner[0] == "circuit" and row.fuse.rating is not None and sold and chance.random() < 0.5:
            edits[*row.owner, "fuse", "rating"] = f"{chance.choice(sold):g} A"
    for name, circuit in first.plan.circuit.items():
        for place in ("wire", "earth_wire"):
            for number, segment in enumerate(getattr(circuit, place)):
                if segment.size is not None and chance.random() < 0.3:
                    edits["circuit", name, place, number, "size"] = chance.choice(SIZES)
    return propose(changed(first.plan, edits), limit_set("road"), look_for_savings=False)


def certain(proposal: Proposal) -> list[Finding]:
    return [each for each in proposal.before.findings
            if each.check in FAULTS and not each.measure and each.level != "advice"]


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_named_leaves_no_fault_of_fuse_and_wire(seed: int) -> None:
    proposal = mutated(seed)
    named = [each for each in certain(proposal)
             if each.values and each.check in ("fuse-exceeds-wire", "wire-overloaded")]
    assert named
    for finding in named:
        after = assess(changed(proposal.before.results.plan, {path_of(path): value for path, value in finding.values}),
                       limit_set("road"), after=proposal.before)
        faults = {finding.check, "fuse-too-small", "blows-at-switch-on"}
        left = {(each.check, each.fix) for each in after.findings
                if not each.measure and each.subject == finding.subject and each.check in faults}
        assert not left, finding.fix


@pytest.mark.parametrize("seed", SEEDS)
def test_with_the_sizes_named_the_fuse_named_is_proposed(seed: int) -> None:
    proposal = mutated(seed)
    changes = {".".join(map(str, each.path)): each.new_words for each in proposal.changes}
    said = {each.identity for each in proposal.collisions}
    compared = 0
    for finding in certain(proposal):
        rating = next((each for each in finding.fields if each.endswith(".fuse.rating")), None)
        words = re.search(r"(?:^fit |and then )(?:a )?([\d.]+ A)(?! maxi| midi| mega| in a)", finding.fix)
        if rating is None or words is None or finding.identity in said:
            continue
        part = rating.removesuffix("fuse.rating")
        grown = {path: new for path, new in changes.items()
                 if path.startswith(part) and path.endswith((".size", ".kind"))}
        if grown != {path: value for path, value in finding.values if path.endswith(".size")}:
            continue
        compared += 1
        assert changes.get(rating) == words[1], (finding.check, finding.fix)
    assert compared


@pytest.mark.parametrize(("fuse", "current", "sizes"), [
    ('kind = "jcase", rating = "40 A"', "19 A", ("1.5 mm2", "4 mm2")),
    ('kind = "jcase", rating = "60 A"', "40 A", ("0.5 mm2", "4 mm2")),
    ('kind = "blade", rating = "30 A"', "12 A", ("0.5 mm2", "2.5 mm2"))])
@pytest.mark.parametrize("use", ["continuous", "intermittent"])
def test_the_wires_named_for_an_overload_carry_the_worst_case_current(
        fuse: str, current: str, sizes: tuple[str, str], use: str) -> None:
    """The fuse for the current as entered may be smaller than the worst-case current, and so may its wire be."""
    wires = ", ".join(f'{{ size = "{size}", length = "1 m", zone = "cabin", insulation = "pvc70" }}' for size in sizes)
    entered = around(f"""
[circuit.one]
feed = "battery_post"
earth = "battery_negative"
fuse = {{ {fuse} }}
wire = [{wires}]
load = [{{ current = "{current}", at = "13.5 V", kind = "motor", evidence = "guess", use = "{use}" }}]
""")
    found = [each for each in assess(entered, "road").findings if each.check == "wire-overloaded" and each.values]
    assert found
    for each in found:
        values: dict[Path, object] = {path_of(key): value for key, value in each.values}
        left = assess(changed(entered, values), "road").findings
        assert (each.check, each.fields[0]) not in [(other.check, other.fields[0]) for other in left
                                                  if each.measure or not other.measure], each.fix


@pytest.mark.parametrize("current", ["18 A", "24 A", "40 A"])
@pytest.mark.parametrize(("size", "back"), [("0.5 mm2", "1 mm2"), ("1 mm2", "1 mm2"), ("1.5 mm2", "6 mm2")])
@pytest.mark.parametrize("inrush", [1, 4])
def test_a_larger_fuse_is_named_with_the_wires_it_needs_and_their_sizes(
        current: str, size: str, back: str, inrush: int) -> None:
    """Entered as named, in words alone, load and wires suit the fuse."""
    wire = 'length = "1 m", zone = "cabin", insulation = "pvc70"'
    entered = around(f"""
[circuit.one]
feed = "battery_post"
earth = "battery_negative"
fuse = {{ kind = "blade", rating = "5 A" }}
wire = [{{ size = "{size}", {wire} }}]
earth_wire = [{{ size = "{back}", {wire} }}]
[[circuit.one.load]]
current = "{current}"
at = "13.5 V"
kind = "motor"
evidence = "measured"
inrush = {inrush}
inrush_time = "200 ms"
""")
    checks = ("fuse-too-small", "blows-at-switch-on")
    found = [each for each in assess(entered, "road").findings if each.check in checks and "allows" not in each.fix]
    assert found
    for finding in found:
        assert "thicker" not in finding.fix
        fix, _, rest = finding.fix.partition(", and then ")
        values: dict[Path, str] = {}
        for named, insulation, places in re.findall(
                r"([\d.]+) mm² (?:with (\w+) insulation )?in place of (.+?)(?= and [\d.]+ mm²|$)", fix):
            for place in ("wire", "earth_wire"):
                if re.search(rf"\bthe {place.replace('_', ' ')}\b", places):
                    values["circuit", "one", place, 0, "size"] = f"{named} mm2"
                    values["circuit", "one", place, 0, "insulation"] = insulation or "pvc70"
        rating = re.match(r"(?:a )?([\d.]+ A)(?: (maxi|midi))?", rest)
        assert rating is not None, finding.fix
        values["circuit", "one", "fuse", "rating"] = rating[1]
        values["circuit", "one", "fuse", "kind"] = rating[2] or "blade"
        after = assess(changed(entered, values), "road").findings
        assert not {"fuse-too-small", "fuse-exceeds-wire", "blows-at-switch-on"} & {
            each.check for each in after if not each.measure}, finding.fix
