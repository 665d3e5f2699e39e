"""A wire has one size to be bought, whatever finding names it: what its load, its fuse and a drop ask for is bought
once, and the fuse named with it goes with that size."""

from __future__ import annotations

import random
from collections import defaultdict

import pytest

from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from tests.advice.test_a_second_proposal_changes_nothing import car
from tests.laws.test_a_fix_changes_something import fixed, motors
from tests.plans import plan_of, random_plan

SIZES = ["0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2"]


def thin_car(seed: int) -> Plan:
    """A car of circuits of the library, each third of their wires of another size."""
    plan, chance = car(seed), random.Random(seed)
    return changed(plan, {("circuit", name, part, number, "size"): chance.choice(SIZES)
                          for name, circuit in plan.circuit.items() for part in ("wire", "earth_wire")
                          for number, segment in enumerate(getattr(circuit, part))
                          if segment.size is not None and chance.random() < 0.3})


def drawn(seed: int, heavy: bool) -> Plan:
    """A plan drawn at random, with motors for its loads where `heavy`."""
    return plan_of(motors(random_plan(seed)) if heavy else random_plan(seed))


def named(plan: Plan) -> dict[str, list[tuple[Finding, str]]]:
    """The findings that name a size for a wire, with that size, by the path of the size."""
    found: dict[str, list[tuple[Finding, str]]] = defaultdict(list)
    for each in assess(plan).findings:
        for path, size in each.values:
            if path.endswith(".size"):
                found[path].append((each, size))
    return found


def look(plan: Plan) -> int:
    """For how many wires more than one finding names a size: all that fail name one, all that ask for a reading name
    one, and with what the first of them enters those are gone that ask for nothing else."""
    several = 0
    for path, members in named(plan).items():
        certain = [(each, size) for each, size in members if not each.measure]
        sizes = {size for _, size in certain}
        assert len(sizes) <= 1, [(each.check, each.subject, size) for each, size in certain]
        assert len({size for each, size in members if each.measure}) <= 1, (path, members)
        several += len(members) > 1
        for first, _ in certain[:1] if len(certain) > 1 else ():
            left = {each.identity for each in fixed(plan, first).findings
                    if not each.measure and path in dict(each.values)}
            assert not left & {each.identity for each, _ in certain
                               if dict(each.values).keys() <= dict(first.values).keys()}, first.fix
    return several


@pytest.mark.parametrize("first", [2, *(pytest.param(first, marks=pytest.mark.rest) for first in (6, 13, 17))])
def test_all_findings_of_a_car_name_one_size_for_a_wire(first: int) -> None:
    assert sum(look(thin_car(seed)) for seed in range(first, first + 4))


@pytest.mark.parametrize("first", [3, *(pytest.param(first, marks=pytest.mark.rest) for first in (6, 9, 12, 15))])
def test_all_findings_of_a_plan_name_one_size_for_a_wire(first: int) -> None:
    assert sum(look(drawn(seed, heavy)) for seed in range(first, first + 3) for heavy in (False, True))
