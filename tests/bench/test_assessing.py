"""One full assessment of generated plans of 60, 1,000 and 10,000 circuits in ten conditions, and how it grows."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import numpy as np
import pytest
import tomlkit

from fuseplan.advice import propose
from fuseplan.advice.evidence import sample
from fuseplan.checks import assess
from fuseplan.limits import limit_set
from fuseplan.papers.summary import first_page
from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Plan
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.read import read_plan
from fuseplan.quantities.amounts import Amount
from tests.bench.timing import least_ms
from tests.plans import large_plan, plan_of

Note = Callable[[str, str, str], None]
EXAMPLES = Path(__file__).parents[2] / "examples"
AIM_MS = {60: (10.0, 6.0), 1_000: (90.0, 45.0), 10_000: (1_200.0, 600.0)}
"""For the first assessment of a plan, and for one after an edit of one circuit."""
FIRST_MS: dict[int, float] = {}


def edits(plan: Plan, circuits: Iterable[str] | None = None) -> Iterator[Plan]:
    """The plan with one circuit after the other, all of them where left out, drawing a little more: never the same
    plan twice."""
    for number, name in enumerate(itertools.cycle(plan.circuit if circuits is None else circuits), start=1):
        circuit = plan.circuit[name]
        load = circuit.load[0]
        more = Amount(float(load.power or 5.0) * (1.0 + 1e-4 * number), "")
        load = load.model_copy(update={"power": Amount(more, f"{more:.6g} W"), "current": None})
        plan = plan.model_copy(update={"circuit": {**plan.circuit, name: circuit.model_copy(
            update={"load": (load, *circuit.load[1:])})}})
        yield plan


@pytest.mark.parametrize("circuits", list(AIM_MS))
def test_assess(circuits: int, note: Note) -> None:
    """The first of a plan, on the plan read anew each time; and that after an edit, which follows from the one before
    as it does in a session."""
    data, runs = large_plan(circuits), 40 if circuits < 500 else 7
    first = FIRST_MS[circuits] = least_ms(assess, runs, lambda: (plan_of(data),))
    plan = plan_of(data)
    assert len(conditions_of(plan)) == 10
    changed, now = edits(plan), [assess(plan)]

    def follow(edited: Plan) -> None:
        now[0] = assess(edited, after=now[0])

    after_edit = least_ms(follow, runs, lambda: (next(changed),))
    with_page = least_ms(lambda edited: (follow(edited), first_page(now[0])), runs, lambda: (next(changed),))
    again = edits(now[0].plan, list(now[0].plan.circuit)[circuits // 2:][:1])
    follow(next(again))
    same = least_ms(follow, runs, lambda: (next(again),))
    assert len(now[0].plan.circuit) == circuits
    assert now[0].results.solution.settled
    assert len(now[0].findings) < 20, "what is measured is a car in order"
    note(f"first assessment, {circuits:>6,} circuits", f"{first:.1f} ms", f"{AIM_MS[circuits][0]:.0f} ms")
    note(f"after an edit of one circuit, {len(now[0].findings):,} findings", f"{after_edit:.1f} ms",
         f"{AIM_MS[circuits][1]:.0f} ms")
    note("after another edit of the same circuit", f"{same:.1f} ms", "")
    note("after an edit of one circuit, with its first page", f"{with_page:.1f} ms", "")
    smaller = [size for size in FIRST_MS if size < circuits]
    if smaller:
        exponent = math.log(first / FIRST_MS[smaller[-1]]) / math.log(circuits / smaller[-1])
        note(f"growth {smaller[-1]:,} to {circuits:,}", f"n^{exponent:.2f}", "n^1.1")


def test_edit_a_document_of_a_thousand_circuits(note: Note) -> None:
    document = PlanDocument.from_text(tomlkit.dumps(large_plan(1_000)))
    numbers = itertools.count(1)
    path = ("circuit", "circuit_500", "load", 0, "power")
    taken = least_ms(document.set, 10, lambda: (path, f"{50 + next(numbers) / 1000:g} W"))
    note("a document edit, 1,000 circuits", f"{taken:.1f} ms", "15 ms")


@pytest.mark.parametrize("example", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_assess_example(example: str, note: Note) -> None:
    plan = read_plan(EXAMPLES / f"{example}.toml")
    note(f"assess {example}, {len(plan.circuit)} circuits", f"{least_ms(assess, 40, lambda: (plan,)):.1f} ms", "")


def test_read_example(note: Note) -> None:
    note("read coupe_turbo.toml", f"{least_ms(read_plan, 20, lambda: (EXAMPLES / 'coupe_turbo.toml',)):.1f} ms", "")


def test_sample_example(note: Note) -> None:
    """Against working every load's law out once in each condition: less no solver can do."""
    assessment = assess(read_plan(EXAMPLES / "coupe_turbo.toml"))
    consumers = assessment.results.network.consumers
    reference = np.linspace(consumers.least_a, consumers.most_a, 10_000, axis=1)

    def laws() -> None:
        for on in consumers.on:
            volts = np.full((int(on.sum()), reference.shape[1]), 13.0)
            consumers.laws_of(on).currents(volts, reference[on])

    taken, floor = (least_ms(work, 3) for work in (lambda: sample(assessment, 10_000), laws))
    note("10,000 samples of coupe_turbo", f"{taken:.0f} ms, {taken / floor:.1f} times the laws alone", "1000 ms")


def test_propose_sixty(note: Note) -> None:
    plan = plan_of(large_plan(60))
    note("propose, 60 circuits", f"{least_ms(propose, 3, lambda: (plan, limit_set('road'))):.0f} ms", "2000 ms")
