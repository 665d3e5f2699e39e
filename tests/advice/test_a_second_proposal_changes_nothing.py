"""A proposal is settled: proposed again for the plan with its changes made, nothing changes."""

from __future__ import annotations

import random
from functools import cache

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.advice.edit import changed
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from tests.advice.worlds import one
from tests.checks.check_plans import FOLDER, whole
from tests.checks.test_a_thin_body_strap_is_one_entry import with_long_strap
from tests.laws.test_a_fix_changes_something import motors
from tests.library.test_a_new_plan_warns_of_nothing import with_its_examples
from tests.plans import plan_of, random_plan

SEEDS = [48, 59, *(pytest.param(seed, marks=pytest.mark.rest) for seed in range(40))]
"""Cars in which a drop is cured once another is: in two of the first."""


def car(seed: int) -> Plan:
    """A new plan of circuits taken from the library at random, in every second one with what the template gives as an
    example."""
    chance, names = random.Random(seed), list(definitions())
    text = starter_plan("new", chance.sample(names, chance.randint(12, 35)))
    return parse_plan(with_its_examples(text) if seed % 2 else text)


def proposed(plan: Plan) -> Proposal:
    return propose(plan, limit_set("road"), look_for_savings=False)


@cache
def proposed_for_car(seed: int) -> Proposal:
    """What is proposed for a car, worked out once for all laws that begin with it."""
    return proposed(car(seed))


def changed_again(first: Proposal) -> list[tuple[object, ...]]:
    assert first.changes
    again = proposed(first.plan)
    return [(change.path, change.old, change.new, change.why) for change in again.changes]


@pytest.mark.parametrize("seed", SEEDS)
def test_proposed_again_nothing_changes(seed: int) -> None:
    assert changed_again(proposed_for_car(seed)) == []


def test_a_wire_that_has_grown_as_far_as_a_drop_may_ask_for_grows_no_further() -> None:
    plan = parse_plan(whole((FOLDER / "low-lamp-voltage.fails.toml").read_text(encoding="utf-8")))
    assert changed_again(proposed(plan)) == []


def test_a_wire_that_grows_for_its_fuse_and_then_for_a_drop_is_not_given_up_between() -> None:
    plan = parse_plan(whole((FOLDER / "insufficient-supply.fails.toml").read_text(encoding="utf-8")))
    assert changed_again(proposed(plan)) == []


def test_a_drop_given_up_while_it_fails_as_entered_is_fixed_for_the_worst_case() -> None:
    first = proposed(car(948))
    thin = changed(first.plan, {
        ("circuit", "second_battery_converter", "wire", 1, "size"): "0.75 mm2",
        ("circuit", "fan_brushless", "wire", 0, "size"): "1.5 mm2",
        ("circuit", "fan", "fuse", "holder"): "blade_in_line"})
    assert changed_again(proposed(thin)) == []


@pytest.mark.parametrize(("current", "evidence", "size", "rating", "length"), [
    ("13.9 A", "guess", "2.5 mm2", "20 A", "11 m"), ("15 A", "guess", "4 mm2", "25 A", "13 m"),
    ("17.3 A", "plate", "4 mm2", "25 A", "9 m"), ("17.3 A", "guess", "1.5 mm2", "15 A", "11 m")])
def test_a_drop_is_not_given_up_before_its_fuse_carries_the_worst_case(current: str, evidence: str, size: str,
                                                                       rating: str, length: str) -> None:
    plan = one(wire=f'size = "{size}"', fuse=f'fuse = {{ kind = "blade", rating = "{rating}" }}', current=current,
               evidence=evidence, length=length)
    assert changed_again(proposed(plan)) == []


@pytest.mark.rest
def test_a_type_of_fuse_that_breaks_a_short_is_not_given_up_before_its_wires_have_grown() -> None:
    assert changed_again(proposed(plan_of(motors(random_plan(3))))) == []


@pytest.mark.parametrize("seed", [
    0, 3, *(pytest.param(seed, marks=pytest.mark.rest) for seed in (*range(4, 12), 54))])
def test_what_is_given_up_is_tried_again_with_the_changes_made(seed: int) -> None:
    """Two fuses in a row that are not selective before the lower one has become smaller; a fuse of a larger type."""
    assert changed_again(proposed(plan_of(random_plan(seed)))) == []


def test_a_drop_given_up_is_tried_again_where_the_worst_case_then_asks_for_a_reading() -> None:
    assert changed_again(proposed(plan_of(with_long_strap("10 mm2")))) == []
