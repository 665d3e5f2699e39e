"""Where a cell comes from is found through every operation the engine uses, and the steps end in its figure."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from fuseplan.errors import FigureError
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.working import Step
from fuseplan.trace import (
    apply,
    blank,
    cached,
    chosen,
    decided,
    gathered,
    given,
    larger,
    largest,
    number,
    per_part,
    plainly,
    record,
    recording,
    smallest,
    solved,
    spread,
    steps_of,
    summed,
    together,
    total,
)
from fuseplan.trace.arrays import Noted, Traced

PLAIN = np.arange(1.0, 13.0).reshape(3, 4)


def leaves() -> Any:
    """Twelve figures that say which they are."""
    return given(PLAIN, "I", "A", lambda row, column: f"figure {row},{column}",
                 lambda row, column: f"entry {row}.{column}")


def _assigned(array: Any) -> Any:
    copy = array.copy()
    copy[:, 1] = array[:, 3]
    copy[0] = array[2]
    return copy


def _filled(array: Any) -> Any:
    found = blank((2, 4), np.nan)
    found[1] = array[0]
    found[0, 2:] = array[1, :2]
    found[0, :2] = array[2, 2:]
    return found


def _in_place(array: Any) -> Any:
    found = array.copy()
    np.maximum(found, array[::-1], out=found)
    return found


MOVES: dict[str, Callable[[Any], Any]] = {
    "slice": lambda array: array[1:, ::2],
    "row": lambda array: array[1],
    "fancy": lambda array: array[[2, 0, 0], [1, 3, 0]],
    "mask": lambda array: array[bare_mask()],
    "newaxis": lambda array: array[:, None, 2:],
    "ellipsis": lambda array: array[..., [3, 0]],
    "turned": lambda array: array.T,
    "take": lambda array: array.take([3, 1], axis=1),
    "reshape": lambda array: array.reshape(2, 6)[::-1],
    "moveaxis": lambda array: np.moveaxis(array, 0, -1),
    "repeat": lambda array: np.repeat(array, 2, axis=0),
    "tile": lambda array: np.tile(array, (2, 1)),
    "broadcast": lambda array: np.broadcast_to(array[:, None], (3, 2, 4)),
    "concatenate": lambda array: np.concatenate([array, array[:1]], axis=0),
    "stack": lambda array: np.stack([array[0], array[2]]),
    "where": lambda array: np.where(bare_mask(), array, array[::-1]),
    "assigned": _assigned,
    "filled": _filled,
    "larger in place": _in_place,
    "larger": lambda array: np.maximum(array, array[:, ::-1]),
    "smaller than a limit": lambda array: np.minimum(array, 100.0),
    "without sign": lambda array: np.abs(array),
    "masked": lambda array: (array * bare_mask())[bare_mask()],
    "along an axis": lambda array: np.take_along_axis(array, np.array([[0], [2], [1]]), axis=1),
    "largest": lambda array: array.max(axis=0),
    "smallest of a list": lambda array: np.min(array, axis=1),
    "reduceat": lambda array: np.minimum.reduceat(array, np.array([0, 3]), axis=1),
    "accumulate": lambda array: np.maximum.accumulate(array[::-1], axis=0),
    "copy": lambda array: array.copy("K"),
    "as it is": lambda array: np.asanyarray(array),
}


def bare_mask() -> Any:
    return PLAIN % 3 != 0


@pytest.mark.parametrize("move", MOVES.values(), ids=MOVES)
def test_what_only_moves_figures_is_followed(move: Callable[[Any], Any]) -> None:
    plain = move(PLAIN)
    with record():
        moved = move(leaves())
        assert isinstance(moved, Traced)
        np.testing.assert_array_equal(plainly(moved), plain)
        checked = 0
        for place in np.ndindex(plain.shape):
            steps = steps_of(moved[place])
            row, column = divmod(int(plain[place]) - 1, 4)
            assert [step.equation for step in steps] == [f"figure {row},{column}"]
            assert steps[-1].result == plain[place]
            assert steps[-1].cite == f"entry {row}.{column}"
            checked += 1
    assert checked


def test_a_formula_shows_its_inputs_and_its_numbers() -> None:
    with record():
        ohm = given(np.array([0.1, 0.2, 0.3, 0.4]), "R", "ohm", lambda column: f"wire {column}", "a table")
        drop = apply(voltage_drop, current_a=leaves(), resistance_ohm=ohm)
        steps = steps_of(drop[1, 2])
    assert [step.equation for step in steps] == ["figure 1,2", "wire 2", "ΔU = I · R"]
    assert steps[-1].numbers == "7 · 0.3"
    assert steps[-1].result == pytest.approx(2.1)
    assert steps[-1].inputs == (("I", 7.0, "A"), ("R", 0.3, "ohm"))


def test_negative_and_tiny_numbers_stand_in_brackets() -> None:
    with record():
        drop = apply(voltage_drop, current_a=given(-2.0, "I", "A", "current", "the plan"),
                     resistance_ohm=given(1e-6, "R", "ohm", "wire", "a table"))
        assert steps_of(drop)[-1].numbers == "(-2) · (1e-06)"


def test_another_thread_does_not_record_here() -> None:
    found: list[Any] = []
    with record():
        other = threading.Thread(target=lambda: found.append(given(1.0, "I", "A", "", "")))
        other.start()
        other.join()
    assert type(found[0]) is float


def texts(value: Any) -> list[str]:
    with record():
        return [step.equation for step in steps_of(value)]


def test_a_choice_says_which_and_of_what() -> None:
    with record():
        worst = largest(leaves(), 1, "worst", ["a", "b", "c", "d"])
        least = smallest(np.where(bare_mask(), leaves(), np.inf), 0, lambda column: f"least of {column}", str)
        both = larger("the larger", leaves()[0, 0], leaves()[2, 1])
    assert texts(worst[1]) == ["figure 1,3", "worst: d, the largest of 5, 6, 7, 8"]
    assert texts(least[2]) == ["figure 1,2", "least of 2: 1, the smallest of 7, 11"]
    assert texts(both) == ["figure 0,0", "figure 2,1", "the larger: the largest of 1, 10"]


def test_a_sum_names_its_parts_and_leaves_out_what_is_nothing() -> None:
    mask = np.array([True, False, True, True])
    with record():
        kept = chosen(mask, leaves(), 0.0, "is off")
        whole = total(kept, 1, "all of it", lambda column: f"part {column}")
        behind = [np.array([0, 3]), np.array([2])]
        found = np.stack([plainly(kept).T[each].sum(axis=0) for each in behind])
        few = summed(found, kept.T, 0, lambda node: behind[node], lambda node, row: f"behind {node} in {row}", str)
        pair = together("both", [("one", leaves()[0]), ("other", leaves()[1])], "Kirchhoff")
    assert texts(whole[0])[-1] == "all of it: 1 (part 0) + 3 (part 2) + 4 (part 3)"
    assert "part 1 is off" in texts(whole[0])
    assert texts(few[0, 1])[-1] == "behind 0 in 1: 5 (0) + 8 (3)"
    assert texts(few[1, 0])[-1] == "behind 1 in 0: 3 (2)"
    assert texts(pair[2])[-1] == "both: 3 (one) + 7 (other)"


def test_parts_worked_out_one_by_one_are_worked_out_again() -> None:
    def again(index: int) -> float:
        return number(apply(voltage_drop, current_a=given(2.0 + index, "I", "A", "current", "the plan"),
                            resistance_ohm=given(0.5, "R", "ohm", "wire", "a table")))

    with record():
        right, wrong = per_part(np.array([1.0, 1.5]), again), per_part(np.array([1.0, 9.0]), again)
    assert texts(right[1]) == ["current", "wire", "ΔU = I · R"]
    with pytest.raises(FigureError, match="came out as"):
        texts(wrong[1])


def test_every_part_worked_out_again_keeps_its_own_step() -> None:
    """What is worked out again lives no longer than the walk: none is taken for another made after it."""
    def again(index: int) -> float:
        return given(float(index), "I", "A", f"part {index}", "the plan")

    with record():
        whole = total(per_part(np.arange(60.0), again), 0, "all", str)
    assert texts(whole)[:-1] == [f"part {index}" for index in range(60)]


def test_gathered_floats_keep_where_they_come_from() -> None:
    with record():
        one = given(3.0, "I", "A", "typed in", "the plan")
        rows = gathered([(1.0, one), (one, 2.0)])
        many = spread(one, 4)
    assert isinstance(one, Noted)
    assert texts(rows[1, 0]) == ["typed in"]
    assert texts(many[2]) == ["typed in"]


def test_a_decision_stands_after_what_it_rests_on() -> None:
    with record():
        row = decided(np.full((3, 4), 20.0), "Iᵣ", "A", lambda row, column: f"next up for {row},{column}", "a table",
                      leaves())
    assert texts(row[2, 3]) == ["figure 2,3", "next up for 2,3"]


def test_what_is_solved_together_goes_one_level_further() -> None:
    with record():
        current = solved(np.array([4.0]), "I", "A", "current", "3 passes", lambda: volts * 2.0)
        volts = solved(np.array([2.0]), "U", "V", "voltage", "3 passes", lambda: current * 0.5)
        steps = steps_of(current[0])
    assert [step.equation for step in steps] == ["voltage", "2 · 2", "current"]
    assert [step.cite for step in steps] == ["3 passes", "arithmetic", "3 passes"]


def test_what_nothing_explains_is_seen() -> None:
    """A plain number in a formula has no step of its own: the judge of the examples finds it."""
    with record():
        drop = apply(voltage_drop, current_a=leaves()[0], resistance_ohm=0.75)
        steps: list[Step] = steps_of(drop[1])
    assert [step.equation for step in steps] == ["figure 0,1", "ΔU = I · R"]
    assert [step.result for step in steps] == [2.0, 1.5]
    assert steps[-1].inputs[1] == ("R", 0.75, "ohm")


def test_nothing_is_kept_without_recording() -> None:
    found = apply(voltage_drop, current_a=leaves(), resistance_ohm=given(0.5, "R", "ohm", "", ""))
    assert type(found) is np.ndarray
    assert type(largest(found, 0, "")) is np.ndarray
    assert type(blank(3, 0.0)) is np.ndarray
    assert not recording()
    with pytest.raises(FigureError, match="without recording"):
        steps_of(1.0)


def test_a_cache_is_neither_read_nor_filled_while_recording() -> None:
    calls = []

    @cached(maxsize=4)
    def asked(value: float) -> float:
        calls.append(value)
        return given(value, "I", "A", "asked", "a table")

    assert type(asked(1.0)) is float
    with record():
        assert isinstance(asked(1.0), Noted)
    assert type(asked(1.0)) is float
    assert calls == [1.0, 1.0]
