"""Classes whose methods are shared behave as those of the standard library do."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from fuseplan import records


def _make(dataclass: Callable[..., Any]) -> tuple[type, type, type]:
    @dataclass(frozen=True)
    class Point:
        """A place."""

        x: float
        y: float = 2.0
        tags: list[str] = dataclasses.field(default_factory=list)

    @dataclass(frozen=True)
    class Named(Point):
        """With a name, that must not be empty."""

        name: str = "a"

        def __post_init__(self) -> None:
            if not self.name:
                raise ValueError("a point needs a name")

    @dataclass(frozen=True, eq=False)
    class Alone:
        """Equal to itself alone."""

        x: int

    return Point, Named, Alone


STANDARD, OURS = _make(dataclasses.dataclass), _make(records.dataclass)
CALLS: list[tuple[int, tuple[Any, ...], dict[str, Any]]] = [
    (0, (1.0,), {}), (0, (1.0, 3.0), {"tags": ["t"]}), (0, (), {"y": 1.0, "x": 0.5}), (0, (), {}), (0, (), {"y": 1.0}),
    (0, (1.0,), {"x": 2.0}), (0, (1.0, 2.0, [], 4.0), {}), (0, (1.0,), {"z": 2.0}), (0, (), {"z": 2.0}),
    (0, (), {"z": 2.0, "y": 1.0, "tags": []}), (1, (1.0,), {"name": "b"}), (1, (1.0,), {"name": ""}), (2, (1,), {}),
]


def _outcome(kind: type, inputs: tuple[Any, ...], named: dict[str, Any]) -> tuple[object, ...]:
    """What comes of making one: its text, its fields and itself twice; or the error."""
    try:
        made, again = kind(*inputs, **named), kind(*inputs, **named)
    except (TypeError, ValueError) as error:
        return (type(error),)
    try:
        hashed: object = hash(made) == hash(again)
    except TypeError as error:
        hashed = type(error)
    return (repr(made), [(each.name, getattr(made, each.name)) for each in dataclasses.fields(made)], made == again,
            hashed, made == (1.0, 2.0, []), dataclasses.replace(made, x=7) == made,
            repr(dataclasses.replace(made, x=7)), repr(copy.deepcopy(made)))


@pytest.mark.parametrize("number", range(len(CALLS)))
def test_same_as_the_standard_library(number: int) -> None:
    which, inputs, named = CALLS[number]
    assert _outcome(OURS[which], inputs, named) == _outcome(STANDARD[which], inputs, named)


def test_nothing_can_be_changed() -> None:
    for kind in OURS:
        made = kind(1)
        for name in ("x", "other"):
            with pytest.raises(dataclasses.FrozenInstanceError):
                setattr(made, name, 2)
        with pytest.raises(dataclasses.FrozenInstanceError):
            del made.x
        assert made.x == 1


def test_a_list_made_for_one_is_not_shared() -> None:
    first, second = OURS[0](1.0), OURS[0](1.0)
    first.tags.append("t")
    assert second.tags == []


def test_options_of_fields_that_are_not_known_are_refused() -> None:
    class Odd:
        """With a field left out of comparisons."""

        x: int = dataclasses.field(default=1, compare=False)

    with pytest.raises(TypeError, match="x"):
        records.dataclass(frozen=True)(Odd)


def test_pickled_ones_come_back() -> None:
    from fuseplan.checks.rule import Unjudged

    made = Unjudged("check", "fan", "circuit", "its current")
    assert pickle.loads(pickle.dumps(made)) == made
