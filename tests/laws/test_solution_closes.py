"""Each figure of the solved network follows from its neighbours by the law its working shows."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fuseplan.engine.computing import compute
from fuseplan.engine.passes import Rows
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.quantities.amounts import LENGTH, amount
from fuseplan.trace import plainly, record
from fuseplan.trace.nodes import Solved

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
NEAR = 1e-3
"""A current or a voltage of the last pass and the law at the others of that pass may differ by a thousandth of an
ampere or of a volt: the passes end once no voltage moves by a tenth of a millivolt."""


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_laws_close(path: Path) -> None:
    closes(read_plan(path))


@pytest.mark.parametrize("sense_feed", [None, "main_bus"])
@pytest.mark.parametrize("length", ["1.3 m", "40 m"])
def test_they_close_with_a_sense_lead_whether_or_not_it_makes_up_for_the_whole_drop(
        sense_feed: str | None, length: str) -> None:
    plan = read_plan(next(path for path in EXAMPLES if path.stem == "coupe_turbo"))
    assert plan.alternator is not None
    [cable] = plan.alternator.cable
    longer = cable.model_copy(update={"length": amount(length, LENGTH)})
    sensing = {"sense": "battery", "sense_feed": sense_feed, "cable": (longer,)}
    closes(plan.model_copy(update={"alternator": plan.alternator.model_copy(update=sensing)}))


def closes(plan: Plan) -> None:
    closed = []
    with record():
        solution = compute(plan, limit_set("road")).solution
        for field in Rows._fields:
            node = getattr(solution, field).node
            assert isinstance(node, Solved), field
            law = plainly(node.because)
            np.testing.assert_allclose(law, node.value, rtol=1e-4, atol=NEAR, err_msg=field)
            closed.append(field)
    assert len(closed) == len(Rows._fields)
