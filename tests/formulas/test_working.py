"""Steps are kept where a recording is open, and nowhere else."""

from __future__ import annotations

import threading

import pytest

from fuseplan.formulas.working import Step, keep, note, recording

STEP = Step("ΔU", "ΔU = I · R", "5 · 0.1", 0.5, "V", "Ohm's law", (("I", 5.0, "A"), ("R", 0.1, "ohm")))


def test_steps_are_kept_in_order() -> None:
    with recording() as steps:
        note("S", "next size up", 2.5, "mm²", "IEC 60228")
        keep(STEP)
    assert steps == [Step("S", "next size up", "", 2.5, "mm²", "IEC 60228"), STEP]


def test_nothing_is_kept_without_recording() -> None:
    with recording() as steps:
        pass
    keep(STEP)
    assert steps == []


def test_an_inner_recording_keeps_its_steps_to_itself() -> None:
    with recording() as outer:
        keep(STEP)
        with recording() as inner:
            note("I", "inside", 2.0, "A", "definition")
        keep(STEP)
    assert outer == [STEP, STEP]
    assert [step.result for step in inner] == [2.0]


def test_another_thread_does_not_record_here() -> None:
    with recording() as steps:
        other = threading.Thread(target=keep, args=(STEP,))
        other.start()
        other.join()
    assert steps == []


def test_recording_ends_with_an_error_too() -> None:
    with pytest.raises(ZeroDivisionError), recording() as steps:
        raise ZeroDivisionError
    keep(STEP)
    assert steps == []
