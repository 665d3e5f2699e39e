"""A fix changes something: no fix names what is fitted already, and one plan has one recommended alternator.

The plans are the examples, those that break the checks, plans made by rule, and such with loads too large for their
parts.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from itertools import product
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.checks.subjects import fuse_subject
from fuseplan.engine.changes import Change, apply
from fuseplan.engine.selectivity import NOT_ASSURED, compare_types
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Fuse, Segment
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables.fuses import KINDS, kind_words
from tests.checks.check_plans import failed, failing
from tests.checks.test_rules import assessed
from tests.laws.test_one_ambient import heavier
from tests.plans import large_plan, path_of, plan_of, random_plan

FIT_FUSE = re.compile(r"\bfit (\d[\d.]*) A\b")
A_CONTACT = re.compile(r"relay[^();]* \((\w+_\d+)\)")
INSULATION = re.compile(r"\b(?:insulation |such as )([a-z]+\d+)\b")
ALTERNATOR = re.compile(r"an alternator rated (\d[\d.]*) A")
SWITCH = re.compile(r"a switch of at least (\d[\d.]*) A")
FIT_DEVICE = re.compile(r"fit a (\d[\d.]*) A ([\w ]+?) (?:here|at (\w+))")
NOT_ASSURED_WORDS = "not assured"
OF_ALTERNATOR = ("alternator-too-small", "alternator-peak-overload", "discharge-while-running")


def sources() -> Iterator[tuple[str, Callable[[], Assessment]]]:
    for path in sorted(shipped_folder("examples").glob("*.toml")):
        yield path.stem, lambda path=path: assess(read_plan(path))  # type: ignore[misc]
    for name in all_rules():
        yield name, lambda name=name: failed(name)  # type: ignore[misc]
    for seed in range(10):
        yield f"random-{seed}", lambda seed=seed: assess(plan_of(random_plan(seed)))  # type: ignore[misc]
        yield f"heavy-{seed}", lambda seed=seed: assess(plan_of(motors(random_plan(seed))))  # type: ignore[misc]
    for length, size in product((3, 8, 20, 45), ("1 mm2", "AWG 18", "2.5 mm2", "4 mm2")):
        text = failing("voltage-drop").replace('"1 mm2", length = "6 m"', f'"{size}", length = "{length} m"')
        yield f"drop-{length}-{size}", lambda text=text: assessed(text)  # type: ignore[misc]
    yield "heavy-large", lambda: assess(plan_of(heavier(large_plan(30))))


def motors(data: dict[str, Any]) -> dict[str, Any]:
    """Larger loads, most of them motors and lamps, whose contacts are printed lower."""
    for number, circuit in enumerate(data["circuit"].values()):
        for load in circuit["load"]:
            load["power"], load["use"] = f"{150 + 60 * (number % 7)} W", "continuous"
            load["kind"] = ("motor", "lamp", "resistive")[number % 3]
    return data


ALL = dict(sources())
IN_EACH_RUN = 2
"""How many of the plans made at random are looked at in an ordinary run."""
ORDINARY = [name for name in ALL if not (name.startswith(("random-", "heavy-")) and name[-1].isdigit()
                                         and int(name[-1]) >= IN_EACH_RUN)]
NAMES = [pytest.param(name, marks=() if name in ORDINARY else pytest.mark.rest) for name in ALL]


@cache
def judged(name: str) -> Assessment:
    return ALL[name]()


def fuse_at(plan: Plan, finding: Finding) -> Fuse | None:
    """The fuse of what a finding is about."""
    if finding.subject_kind == "circuit":
        return plan.circuit[finding.subject].fuse
    if finding.subject_kind == "feed":
        return plan.feed[finding.subject].fuse
    return plan.alternator.fuse if finding.subject_kind == "alternator" and plan.alternator is not None else None


def entered(plan: Plan, path: str) -> Any:
    """What a plan says at a path; None where it has no such part."""
    at: Any = plan
    for step in path_of(path):
        at = at.get(str(step)) if isinstance(at, dict) else \
            dict(enumerate(at)).get(step) if isinstance(at, tuple) else getattr(at, str(step), None)
    return at


def segments_at(assessment: Assessment, finding: Finding) -> list[Segment]:
    """The segments a finding names in the fields that cure it."""
    parts = [entered(assessment.plan, owner) for owner, _, key in (path.rpartition(".") for path in finding.fields)
             if key in ("size", "insulation")]
    return [part for part in parts if isinstance(part, Segment)]


@pytest.mark.one_in(5)
@pytest.mark.parametrize("name", NAMES)
def test_no_fix_names_what_is_fitted(name: str) -> None:
    assessment = judged(name)
    plan = assessment.plan
    for finding in assessment.findings:
        text, fuse = finding.fix, fuse_at(plan, finding)
        if fuse is not None and fuse.rating is not None and finding.check != "not-selective":
            assert float(fuse.rating) not in [float(each) for each in FIT_FUSE.findall(text)], (finding.check, text)
        part = {"circuit": plan.circuit, "feed": plan.feed}.get(finding.subject_kind, {}).get(finding.subject)
        relay = getattr(part, "relay", None)
        if relay is not None:
            assert relay.contact not in A_CONTACT.findall(text), (finding.check, text)
        switch = getattr(part, "switch", None)
        if switch is not None and switch.rating is not None:
            assert all(float(each) > float(switch.rating) for each in SWITCH.findall(text)), (finding.check, text)
        for segment in segments_at(assessment, finding):
            assert segment.insulation not in INSULATION.findall(text), (finding.check, text)
        for path, value in finding.values:
            assert entered(plan, path.rpartition(".")[0]) is not None, (finding.check, path, "no such part")
            assert value != str(entered(plan, path)), (finding.check, path, text)
        for rated in ALTERNATOR.findall(text):
            assert float(rated) > assessment.results.source.rated_a, (finding.check, text)


def devices_named(assessment: Assessment, finding: Finding) -> Iterator[tuple[int, str, str]]:
    """(number of the device, rating, type) of each fuse a finding on selectivity tells to fit."""
    rows = assessment.results.network.fuses
    for rating, words, owner in FIT_DEVICE.findall(finding.fix):
        kind = next(each for each in KINDS if kind_words(each) == words)
        wanted = owner or ("" if finding.subject_kind == "alternator" else finding.subject)
        yield from ((number, rating, kind) for number, row in enumerate(rows) if wanted in (row.owner[1], row.owner[0])
                    and (owner or row.owner[0] == finding.subject_kind))


@pytest.mark.parametrize("name", NAMES)
def test_a_fuse_named_for_selectivity_is_another_and_brings_the_pair_in_order(name: str) -> None:
    assessment = judged(name)
    network, rating_a = assessment.results.network, assessment.results.fusing.rating_a
    for finding in assessment.findings:
        if finding.check != "not-selective":
            continue
        for number, rating, kind in devices_named(assessment, finding):
            assert (network.fuses[number].fuse.kind, float(rating_a[number])) != (kind, float(rating)), finding.fix
            upper = next(each for each, row in enumerate(network.fuses) if fuse_subject(row) == (
                finding.subject_kind, finding.subject))
            for pair in assessment.results.pairs:
                if pair.upper == upper and pair.answer == NOT_ASSURED_WORDS and number in (upper, pair.lower):
                    lower, above = ((kind, float(rating)) if index == number else
                                    (network.fuses[index].fuse.kind, float(rating_a[index]))
                                    for index in (pair.lower, upper))
                    faults = assessment.results.faults
                    answers, _ = compare_types([lower], [above], faults.fuse_far_a[[pair.lower]],
                                               faults.prospective_a[[pair.lower]])
                    assert int(answers[0]) != NOT_ASSURED, finding.fix


def fixed(plan: Plan, finding: Finding) -> Assessment:
    """The plan with all entered that a finding's fix names."""
    return assess(apply(plan, [Change(path_of(path),
                                      WireSize(value) if path.endswith(".size") else
                                      amount(value, CURRENT) if path.endswith(".rating") else value)
                               for path, value in finding.values]))


@pytest.mark.one_in(5)
@pytest.mark.parametrize("name", NAMES)
def test_what_a_fix_tells_to_enter_removes_the_finding(name: str) -> None:
    assessment = judged(name)
    for finding in assessment.findings:
        if not finding.values:
            continue
        left = [each for each in fixed(assessment.plan, finding).findings
                if (each.check, each.subject_kind, each.subject, each.source, each.fields[-1:]) == (
                    finding.check, finding.subject_kind, finding.subject, finding.source, finding.fields[-1:])]
        assert not [each for each in left if not each.measure or finding.measure], (finding.fix, left)


def sizes_named(assessment: Assessment) -> set[float]:
    """Rated outputs of all alternators recommended in findings and in the power report."""
    power = assessment.results.power
    found = {float(each) for finding in assessment.findings for each in ALTERNATOR.findall(finding.fix)}
    return found | {float(change.value) for cure in power.cures(power.worst) if cure.id == "bigger" and cure.closes
                    for change in cure.changes if change.path[-1] == "rated"}  # type: ignore[arg-type]


@pytest.mark.one_in(5)
@pytest.mark.parametrize("name", NAMES)
def test_one_plan_has_one_recommended_alternator_and_it_passes_the_checks(name: str) -> None:
    assessment = judged(name)
    named, size = sizes_named(assessment), assessment.results.power.alternator_size
    assert len(named) <= 1
    about = [finding for finding in assessment.findings if finding.check in OF_ALTERNATOR]
    if size is None or not about or assessment.plan.alternator is None:
        return
    assert named <= {size.rated_a}
    as_entered = any(not finding.measure and finding.level != "advice" for finding in about)
    after = assess(apply(assessment.plan, size.changes(assessment.plan.alternator)))
    left = [finding for finding in after.findings if finding.check in OF_ALTERNATOR and "After starting" not in
            finding.message and (not finding.measure or not as_entered)]
    assert not left, [finding.message for finding in left]


@pytest.mark.share
def test_no_alternator_a_tenth_smaller_than_the_recommended_one_passes(in_full: bool) -> None:
    """Not the very next size: one that is overloaded by a little drags the voltage down, and with it what it is asked
    for."""
    checked = 0
    for name in ALL if in_full else ORDINARY:
        assessment = judged(name)
        size, fitted = assessment.results.power.alternator_size, assessment.plan.alternator
        about = {each.check for each in assessment.findings if each.check in OF_ALTERNATOR and not each.measure}
        if size is None or fitted is None or not about or 0.9 * size.rated_a - 5 <= assessment.results.source.rated_a:
            continue
        smaller = size._replace(rated_a=0.9 * size.rated_a - 5, low_a=max(1.0, 0.9 * size.low_a - 5))
        after = assess(apply(assessment.plan, smaller.changes(fitted)))
        assert {each.check for each in after.findings if each.check in OF_ALTERNATOR}, name
        checked += 1
    assert checked > 3


@pytest.mark.parametrize("name", NAMES)
def test_every_cure_of_a_deficit_has_an_effect(name: str) -> None:
    power = judged(name).results.power
    for cure in power.cures(power.worst):
        assert cure.after_a > cure.before_a, cure.words


@pytest.mark.share
def test_the_laws_see_fixes_of_every_kind(in_full: bool) -> None:
    found = [finding for name in (ALL if in_full else ORDINARY) for finding in judged(name).findings]
    texts = [finding.fix for finding in found]
    assert sum(bool(finding.values) for finding in found) > (100 if in_full else 25)
    for pattern in (FIT_DEVICE, FIT_FUSE, A_CONTACT, INSULATION, ALTERNATOR, SWITCH):
        assert any(pattern.search(text) for text in texts), pattern.pattern
