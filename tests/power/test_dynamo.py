"""A dynamo gives nothing below its cut-in speed, and its rated output from its speed of full output on.

22 A dynamo of the 1960s: cut-in at 1450 r/min, 22 A at 2250 r/min (a small car's manual, p. 105).
"""

from __future__ import annotations

import numpy as np
import pytest

from fuseplan.engine.alternator import machine_of
from fuseplan.errors import PlanError
from fuseplan.plan.model import Alternator
from fuseplan.planfile.read import parse_plan

PRINTED = {"machine": "dynamo", "rated": "22 A", "cut_in": "1450 r/min", "full_output": "2250 r/min"}


@pytest.mark.parametrize(("rpm", "amps"), [(0, 0), (1000, 0), (1450, 0), (1850, 11), (2250, 22), (4000, 22)])
def test_output_of_a_printed_dynamo(rpm: float, amps: float) -> None:
    assert float(machine_of(Alternator.model_validate(PRINTED)).hot_a(rpm)) == pytest.approx(amps)


def test_output_never_falls_with_the_speed_and_is_nothing_at_idle() -> None:
    machine = machine_of(Alternator.model_validate(PRINTED))
    output = np.asarray(machine.hot_a(np.arange(0.0, 6000.0, 10.0)))
    assert (np.diff(output) >= 0).all()
    assert output[:145].max() == 0.0


@pytest.mark.parametrize("left_out", ["rated", "cut_in", "full_output"])
def test_a_dynamo_of_unknown_speeds_is_not_taken_for_an_alternator(left_out: str) -> None:
    machine = machine_of(Alternator.model_validate({key: value for key, value in PRINTED.items() if key != left_out}))
    assert not machine.known
    assert "dynamo" in machine.basis


@pytest.mark.parametrize(("lines", "words"), [
    ('cut_in = "1450 r/min"', "dynamo"),
    ('machine = "dynamo"\ncut_in = "2250 r/min"\nfull_output = "1450 r/min"', "above it")])
def test_speeds_that_cannot_be_are_refused(lines: str, words: str) -> None:
    with pytest.raises(PlanError, match=words):
        parse_plan(f"fuseplan = 1\n[alternator]\n{lines}\n")
