"""Every working of the examples ends in the engine's own figure, and no number in it comes from nowhere."""

from __future__ import annotations

import math
import re
from functools import cache
from itertools import islice
from pathlib import Path

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.explain import Working, explain
from fuseplan.formulas.working import Step
from fuseplan.limits import names
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.quantities import writing
from fuseplan.results.address import FigureSpot, figures
from tests.explain.agreeing import agrees
from tests.formulas.all_formulas import load_all

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
SAME_UNIT = ({"rpm", "r/min"}, {"-", "share"})
SUM = re.compile(r": ((?:\(?-?[\d.e+-]+\)? \([^=]*?\)(?: \+ )?)+)$")


@cache
def assessment_of(path: Path, limit_set: str) -> Assessment:
    return assess(read_plan(path), limit_set)


Workings = list[tuple[FigureSpot, Working]]


def workings(path: Path, limit_set: str, one_in: int) -> Workings:
    """Each n-th figure of a plan with its working."""
    assessment = assessment_of(path, limit_set)
    return [(figure, explain(assessment, figure)) for figure in islice(figures(assessment.whole), 0, None, one_in)]


BY_ITS_OWN_SET = ("coupe_turbo", "six_volt_tourer")
"""The largest example, and one like another: by the road's set of limits with the others, by other sets among the long
tests."""
CASES = [pytest.param(path, limit_set, id=f"{path.stem}-{limit_set}",
                      marks=pytest.mark.long if limit_set != "road" and path.stem in BY_ITS_OWN_SET else ())
         for path in EXAMPLES for limit_set in names()]


def working_ends_in_the_engines_own_figure(found: Workings, one_in: int) -> None:
    known = 0
    for figure, working in found:
        assert working.steps, figure.address
        if figure.value is not None:
            known += 1
            last = working.steps[-1]
            assert agrees(figure, last.result), f"{figure.address}: {figure.value} is not {last.result}"
            assert last.unit == figure.unit or {last.unit, figure.unit} in SAME_UNIT, figure.address
    assert known > 500 / one_in


@cache
def constants() -> dict[str, dict[str, set[float]]]:
    """For each printed equation, the defaults its formulas give a symbol."""
    found: dict[str, dict[str, set[float]]] = {}
    for entry in load_all().values():
        for term in entry.parameters:
            if term.default is not None:
                found.setdefault(entry.equation, {}).setdefault(term.symbol, set()).add(term.default)
    return found


def unexplained(steps: tuple[Step, ...]) -> list[str]:
    """Inputs of formulas that no earlier step gave and that are no constant of the formula."""
    given: list[float] = []
    found = []
    for step in steps:
        for symbol, value, unit in step.inputs:
            constant = value in constants().get(step.equation, {}).get(symbol, ())
            if not constant and not any(math.isclose(value, each, rel_tol=1e-12, abs_tol=1e-15) for each in given):
                found.append(f"{symbol} = {value} {unit} in {step.equation}")
        if isinstance(step.result, float):
            given.append(step.result)
    return found


def no_number_comes_from_nowhere(found: Workings, one_in: int) -> None:
    formulas = 0
    for figure, working in found:
        assert not unexplained(working.steps), f"{figure.address}: {unexplained(working.steps)}"
        formulas += sum(bool(step.inputs) for step in working.steps)
    assert formulas > 1000 / one_in


def every_step_names_its_source_and_sums_add_up(found: Workings, one_in: int) -> None:
    sums = 0
    for figure, working in found:
        for step in working.steps:
            assert step.cite.strip(), f"{figure.address}: {step.equation}"
            assert working.sources[working.source_number(step) - 1] == step.cite
            if (match := SUM.search(step.equation)) and isinstance(step.result, float):
                parts = [float(each) for each in re.findall(r"(?:^|\+ )\(?(-?[\d.]+(?:e[+-]?\d+)?)\)? \(", match[1])]
                assert math.fsum(parts) == pytest.approx(step.result, rel=1e-4, abs=1e-4), f"{figure.address}: {step}"
                sums += 1
    assert sums > 100 / one_in


CHOICE = re.compile(r"the (?:largest|smallest) of (.+?)(?: and \d+ more)?$")


def loose(steps: tuple[Step, ...]) -> list[str]:
    """Parts of sums that no step before arrives at and that were not solved with all the others, and choices that are
    none of what they were made from."""
    before: set[str] = set()
    found = []
    for step in steps:
        if (match := SUM.search(step.equation)) and "solved together" not in step.cite:
            parts = re.findall(r"(?:^|\+ )\(?(-?[\d.]+(?:e[+-]?\d+)?)\)? \(", match[1])
            found += [f"{part} in {step.equation}" for part in parts if part not in before]
        if (match := CHOICE.search(step.equation)) and isinstance(step.result, float):
            result = writing.worked(step.result)
            if result not in before or (result not in match[1].split(", ") and " more" not in step.equation):
                found.append(f"{result} in {step.equation}")
        if isinstance(step.result, float):
            before.add(writing.worked(step.result))
    return found


def every_part_of_a_sum_and_every_choice_stands_in_a_step_of_its_own(found: Workings, one_in: int) -> None:
    seen = 0
    for figure, working in found:
        assert not loose(working.steps), f"{figure.address}: {loose(working.steps)}"
        seen += sum(bool(SUM.search(step.equation) or CHOICE.search(step.equation)) for step in working.steps)
    assert seen > 100 / one_in


@pytest.mark.one_in(9, first=5)
@pytest.mark.share
@pytest.mark.parametrize(("path", "limit_set"), CASES)
def test_every_law_of_workings_holds_for_every_figure(path: Path, limit_set: str, in_full: bool) -> None:
    """All laws in one test: the workings, which take longest, are made once; in an ordinary run of every other
    figure."""
    one_in = 1 if in_full else 2
    found = workings(path, limit_set, one_in)
    working_ends_in_the_engines_own_figure(found, one_in)
    no_number_comes_from_nowhere(found, one_in)
    every_step_names_its_source_and_sums_add_up(found, one_in)
    every_part_of_a_sum_and_every_choice_stands_in_a_step_of_its_own(found, one_in)


def test_a_loose_part_and_a_loose_choice_are_noticed() -> None:
    """The judge above can fail."""
    part = Step("I", "together: 2 (pump)", "", 2.0, "A", "Kirchhoff's current law")
    choice = Step("I", "worst: the largest of 1, 2", "", 3.0, "A", "choice")
    assert len(loose((part, choice))) == 2
    assert not loose((Step("I", "pump", "", 2.0, "A", "the plan"), part))


def test_a_number_from_nowhere_is_noticed() -> None:
    """The judge above can fail: a formula fed with a number that no step gave."""
    step = Step("ΔU", "ΔU = I · R", "2 · 3", 6.0, "V", "Ohm's law", (("I", 2.0, "A"), ("R", 3.0, "ohm")))
    assert len(unexplained((step,))) == 2
