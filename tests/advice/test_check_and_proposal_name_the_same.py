"""What a fix of a check names is what the proposal changes, or the proposal says why not: over the examples and the
plans beside the checks."""

from __future__ import annotations

import random
import re
from functools import cache
from pathlib import Path

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.checks.fixes import copper_mm2
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.planfile.read import parse_plan
from tests.advice.test_a_second_proposal_changes_nothing import proposed_for_car
from tests.advice.worlds import around, example
from tests.checks.check_plans import FOLDER, whole

EXAMPLES = sorted(path.stem for path in (Path(__file__).parents[2] / "examples").glob("*.toml"))
PLANS = sorted(path.name for path in FOLDER.glob("*.toml"))


@cache
def proposed(name: str) -> Proposal:
    if name in EXAMPLES:
        return example(name)
    return propose(parse_plan(whole((FOLDER / name).read_text(encoding="utf-8"))), limit_set("road"),
                   look_for_savings=False)


def is_met(path: str, value: str, changes: dict[str, str]) -> bool:
    """Whether a value is changed to the one named; a wire may be thicker for another fault of it."""
    new = changes.get(path)
    return new == value or (new is not None and path.endswith(".size") and copper_mm2(new) >= copper_mm2(value))


def not_met(proposal: Proposal) -> list[tuple[str, str, str]]:
    """Findings that fail as entered and name a figure that the proposal neither sets nor says anything about."""
    changes = {".".join(map(str, each.path)): each.new_words for each in proposal.changes}
    said = {each.identity for each in (*proposal.collisions, *proposal.fixed_by_others)}
    return [(each.check, each.subject, each.fix) for each in proposal.before.findings
            if each.values and not each.measure and each.level != "advice" and each.identity not in said
            and not all(is_met(path, value, changes) for path, value in each.values)]


@pytest.mark.parametrize("name", EXAMPLES + PLANS)
def test_a_figure_that_a_fix_names_is_proposed_or_said(name: str) -> None:
    assert not_met(proposed(name)) == []


def test_figures_of_every_kind_are_named_and_proposed() -> None:
    keys = {path.rpartition(".")[2] for name in EXAMPLES + PLANS for each in proposed(name).before.findings
            for path, _ in each.values if not each.measure and each.level != "advice"}
    assert keys >= {"rating", "size", "insulation"}


def test_what_passes_by_the_changes_to_other_parts_is_told_with_its_own_fix() -> None:
    proposal = proposed("coupe_turbo")
    assert [(each.check, each.subject) for each in proposal.fixed_by_others] == [("fuse-exceeds-wire", "blower")]
    assert "If any of those changes is left out: fit 25 A, which still carries the load." in " ".join(
        propose_text(proposal).split())


def with_small_fuses(seed: int) -> Proposal:
    """Of a car with what was proposed for it, its fuses then one to three ratings smaller."""
    first, chance = proposed_for_car(seed), random.Random(seed)
    small = {}
    for row in first.after.results.network.fuses:
        below = [] if row.fuse.rating is None else [step for step in ladder(row.fuse.kind) if step < row.fuse.rating]
        if row.owner[0] == "circuit" and below:
            small[*row.owner, "fuse", "rating"] = f"{chance.choice(below[-3:]):g} A"
    return propose(changed(first.plan, small), limit_set("road"), look_for_savings=False)


@pytest.mark.parametrize("seed", [1, 2, *(pytest.param(seed, marks=pytest.mark.rest) for seed in range(3, 25))])
def test_a_fuse_too_small_becomes_the_one_the_check_names(seed: int) -> None:
    proposal = with_small_fuses(seed)
    changes = {each.path: each.new_words for each in proposal.changes}
    found = [each for each in proposal.before.findings if each.check == "fuse-too-small" and not each.measure
             and each.subject_kind == "circuit" and each.fix.startswith("fit ") and " in place of " not in each.fix]
    assert found
    for finding in found:
        named = re.match(r"fit (?:a )?([\d.]+ A)", finding.fix)
        assert named is not None
        assert changes.get((*finding.owner, "fuse", "rating")) == named[1], finding.fix


def test_a_usual_surge_makes_a_fuse_that_is_too_small_no_larger_than_its_load_asks() -> None:
    """7.9 A for long at 75 % (Lundy, EDN 1996) and 45 °C: 11.7 A with what a reading may be off, 15 A sold."""
    proposal = proposed("fuse-too-small.fails.toml")
    assert [(each.old, each.new) for each in proposal.changes] == [("7.5 A", "15 A")]
    surge, = (each for each in proposal.after.findings if each.check == "blows-at-switch-on")
    assert surge.measure
    assert surge.fix.startswith("measure the inrush current and enter it, or fit ")


def test_a_surge_that_is_entered_does() -> None:
    text = whole((FOLDER / "fuse-too-small.fails.toml").read_text(encoding="utf-8"))
    plan = parse_plan(text.replace('kind = "motor"', 'kind = "motor"\ninrush = 5\ninrush_time = "200 ms"'))
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    new, = (str(each.new) for each in proposal.changes)
    assert float(new.split()[0]) > 15.0
    assert f"fit {new}:" in next(each.fix for each in proposal.before.findings if each.check == "fuse-too-small")
    assert not [each for each in proposal.after.findings if each.check == "blows-at-switch-on"]
    smaller = assess(changed(plan, {("circuit", "fan", "fuse", "rating"): "15 A"}), limit_set("road"))
    assert [each for each in smaller.findings if each.check == "blows-at-switch-on"]


@pytest.mark.parametrize("given", [True, False], ids=["entered", "usual"])
@pytest.mark.parametrize(("size", "current"), [("0.5 mm2", "9 A"), *(
    (size, current) for size in ("0.5 mm2", "1 mm2", "1.5 mm2") for current in ("14 A", "18 A"))])
def test_a_fuse_named_with_a_thicker_wire_does_not_blow_at_switch_on_or_it_is_said(
        size: str, current: str, given: bool) -> None:
    text = whole((FOLDER / "fuse-too-small.fails.toml").read_text(encoding="utf-8"))
    text = text.replace(', rating = "7.5 A"', "").replace("2.5 mm2", size).replace('"7.5 A"', f'"{current}"')
    if given:
        text = text.replace('kind = "motor"', 'kind = "motor"\ninrush = 6\ninrush_time = "200 ms"')
    plan = parse_plan(text)
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    found = [each for each in proposal.before.findings if each.check == "no-fuse-fits" and each.subject == "fan"
             and " and then " in each.fix]
    assert found
    for finding in found:
        named = re.search(r"fit ([\d.]+) mm² .* and then (?:a )?([\d.]+ A)(?: (maxi))?", finding.fix)
        assert named is not None, finding.fix
        fuse = {("circuit", "fan", "fuse", "kind"): "maxi"} if named[3] else {}
        fitted = assess(changed(plan, {("circuit", "fan", "wire", 0, "size"): f"{named[1]} mm2",
                                       ("circuit", "fan", "fuse", "rating"): named[2], **fuse}), limit_set("road"))
        blows = [each for each in fitted.findings if each.check == "blows-at-switch-on"]
        assert not [each for each in fitted.findings if each.check in ("no-fuse-fits", "fuse-exceeds-wire")]
        assert bool(blows) == ("may blow at switch-on" in finding.fix), finding.fix
        assert not given or not [each for each in blows if not each.measure]
        if given:
            assert next(each.new for each in proposal.changes if each.path[-1] == "rating") == named[2]


def test_a_fuse_that_a_usual_surge_may_blow_is_said() -> None:
    text = whole((FOLDER / "fuse-too-small.fails.toml").read_text(encoding="utf-8"))
    text = text.replace(', rating = "7.5 A"', "").replace("2.5 mm2", "1 mm2").replace('"7.5 A"', '"14 A"')
    fixes = [each.fix for each in assess(parse_plan(text)).findings if each.check == "no-fuse-fits"]
    assert [fix for fix in fixes if "may blow at switch-on: measure" in fix]


@pytest.mark.parametrize(("size", "length", "current"), [
    ("1.5 mm2", "30 m", "11 A"), ("1.5 mm2", "40 m", "14 A"), ("2.5 mm2", "40 m", "17 A")])
def test_a_strap_that_keeps_a_fuse_from_blowing_is_replaced(size: str, length: str, current: str) -> None:
    """The smallest fuse that carries the load is still too slow: then the strap is, which no fuse is counted with."""
    proposal = propose(around(f"""
[earth.shelf]
to = "battery_negative"
wire = [{{ size = "{size}", length = "{length}", zone = "cabin", insulation = "xlpe125" }}]
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "20 A", distance = "100 mm" }}
wire = [{{ size = "2.5 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "shelf"
[[circuit.one.load]]
current = "{current}"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
use = "momentary"
when = ["braking"]
inrush = 1
"""), limit_set("road"), look_for_savings=False)
    before, = (each for each in proposal.before.findings if each.check == "no-trip-far-end")
    assert " in place of the strap from shelf " in before.fix
    assert ("earth", "shelf", "wire", 0, "size") in [each.path for each in proposal.changes
                                                    if each.check == "no-trip-far-end"]
    assert not [each for each in proposal.after.findings if each.check == "no-trip-far-end"]


@pytest.mark.parametrize(("size", "length", "current", "rating"), [
    ("1.5 mm2", "30 m", "5 A", "20 A"), ("1.5 mm2", "40 m", "8 A", "20 A")])
def test_a_strap_that_alone_keeps_a_fuse_from_blowing_is_all_that_changes(
        size: str, length: str, current: str, rating: str) -> None:
    """Whose fuse might be smaller, too: with the one fix that the check names nothing else is left to change."""
    plan = around(f"""
[earth.shelf]
to = "battery_negative"
wire = [{{ size = "{size}", length = "{length}", zone = "cabin", insulation = "xlpe125" }}]
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "{rating}", distance = "100 mm" }}
wire = [{{ size = "6 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "shelf"
[[circuit.one.load]]
current = "{current}"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
use = "momentary"
when = ["braking"]
inrush = 1
""")
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    causes = [each for each in proposal.before.findings if each.level != "advice" and each.cause is None]
    assert [each.check for each in causes] == ["no-trip-far-end"]
    assert [each.path for each in proposal.changes] == [("earth", "shelf", "wire", 0, "size")]
    assert str(proposal.changes[0].new) in causes[0].fix.replace("mm²", "mm2")
