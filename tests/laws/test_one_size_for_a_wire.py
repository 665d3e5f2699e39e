"""A wire has one size to be bought, whatever finding names it: what its load, its fuse and a drop ask for is bought
once, and the fuse named with it goes with that size."""

from __future__ import annotations

import random
import re
from collections import defaultdict

import pytest

from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.drops_left import is_a_drop
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.plan.model import Plan
from tests.advice.test_a_second_proposal_changes_nothing import car
from tests.laws.test_a_fix_changes_something import fixed, motors
from tests.plans import plan_of, random_plan

SIZES = ["0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2"]


def thin_car(seed: int) -> Plan:
    """A car of circuits of the library, a third of their wires of another size, a third of their fuses without a
    rating."""
    plan, chance = car(seed), random.Random(seed)
    silent = {name: circuit.model_copy(update={"fuse": circuit.fuse.model_copy(update={"rating": None})})
              for name, circuit in plan.circuit.items() if circuit.fuse is not None and chance.random() < 0.3}
    plan = plan.model_copy(update={"circuit": plan.circuit | silent})
    return changed(plan, {("circuit", name, part, number, "size"): chance.choice(SIZES)
                          for name, circuit in plan.circuit.items() for part in ("wire", "earth_wire")
                          for number, segment in enumerate(getattr(circuit, part))
                          if segment.size is not None and chance.random() < 0.3})


def drawn(seed: int, heavy: bool) -> Plan:
    """A plan drawn at random, with motors for its loads where `heavy`."""
    return plan_of(motors(random_plan(seed)) if heavy else random_plan(seed))


def named(assessment: Assessment) -> dict[int, list[tuple[Finding, str]]]:
    """The findings that name a size for a wire, with that size, by the number of the wire."""
    found: dict[int, list[tuple[Finding, str]]] = defaultdict(list)
    for each in assessment.findings:
        for segment, size in each.sizes:
            found[segment].append((each, size))
    return found


IN_PLACE = re.compile(r"((?:AWG |SAE |AV )?[\d./]+(?: mm²)?)(?: with \S+ insulation)? in place of "
                      r"((?:(?! in place of ).)+?\))(?=[ ,;:]|$)")


def told(assessment: Assessment) -> dict[str, set[str]]:
    """The sizes that the texts of all fixes of what fails name in place of a wire, by the words for that wire."""
    found: dict[str, set[str]] = defaultdict(set)
    wires = {segment_words(assessment.results, index) for index in range(assessment.results.network.segments.count)}
    for each in assessment.findings:
        for size, wire in IN_PLACE.findall(each.fix) if not each.measure else ():
            if wire in wires:
                found[wire].add(size)
    return found


def mended(plan: Plan, found: Assessment) -> Assessment:
    """The plan with all entered that the faults that are no drops ask for."""
    values: dict[str, str] = {}
    for each in found.findings:
        if not (each.measure or is_a_drop(each)):
            values |= {segment_path(found.results, index, "size"): size for index, size in each.sizes}
            values |= {path: value for path, value in each.values if path.endswith((".rating", ".insulation"))}
    return assess(changed(plan, {tuple(path.split(".")): value for path, value in values.items()}))


def look(plan: Plan) -> int:
    """For how many wires more than one finding names a size: all that fail name one, all that ask for a reading name
    one, and with what the first of them enters those are gone that ask for nothing else; of drops, which are told as
    they are with the other faults mended, with what all of those enter."""
    several, assessment = 0, assess(plan)
    beside: frozenset[tuple[str, str, str]] | None = None
    assert not {wire: sizes for wire, sizes in told(assessment).items() if len(sizes) > 1}
    for segment, members in named(assessment).items():
        path = segment_path(assessment.results, segment, "size")
        certain = [(each, size) for each, size in members if not each.measure]
        sizes = {size for _, size in certain}
        assert len(sizes) <= 1, [(each.check, each.subject, size) for each, size in certain]
        assert len({size for each, size in members if each.measure}) <= 1, (path, members)
        several += len(members) > 1
        with_values = [each for each, _ in certain if path in dict(each.values)]
        for first in with_values[:1] if len(with_values) > 1 else ():
            if beside is None:
                beside = frozenset(each.identity for each in mended(plan, assessment).findings if not each.measure)
            left = {each.identity for each in fixed(plan, first).findings
                    if not each.measure and path in dict(each.values)
                    and (not is_a_drop(each) or each.identity in beside)}
            assert not left & {each.identity for each in with_values
                               if dict(each.values).keys() <= dict(first.values).keys()}, first.fix
    return several


@pytest.mark.parametrize("first", [2, *(pytest.param(first, marks=pytest.mark.rest) for first in (6, 13, 17))])
def test_all_findings_of_a_car_name_one_size_for_a_wire(first: int) -> None:
    assert sum(look(thin_car(seed)) for seed in range(first, first + 4))


@pytest.mark.parametrize("first", [3, *(pytest.param(first, marks=pytest.mark.rest) for first in (6, 9, 12, 15))])
def test_all_findings_of_a_plan_name_one_size_for_a_wire(first: int) -> None:
    assert sum(look(drawn(seed, heavy)) for seed in range(first, first + 3) for heavy in (False, True))


@pytest.mark.parametrize("seed", [4, 6, 19])
def test_no_fix_names_a_wire_twice(seed: int) -> None:
    """What another fault asks for on the way of a drop is told with it, but for the wires that its own fix names."""
    for each in assess(drawn(seed, heavy=True)).findings:
        wires = [wire for _, wire in IN_PLACE.findall(each.fix)]
        assert len(wires) == len(set(wires)), each.fix
