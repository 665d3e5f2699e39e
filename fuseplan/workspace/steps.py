"""What one action of the user does is one step, however many changes it makes inside."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from functools import update_wrapper
from typing import Concatenate, ParamSpec, Protocol, TypeVar


class Stepping(Protocol):
    """Something with steps: the session, a form on it."""

    def whole(self) -> AbstractContextManager[None]:
        """A context in which all changes are one step."""


Self = TypeVar("Self", bound=Stepping)
Rest = ParamSpec("Rest")
Result = TypeVar("Result")


def one_step(method: Callable[Concatenate[Self, Rest], Result]) -> Callable[Concatenate[Self, Rest], Result]:
    """A method whose changes are kept for recovery together, with those around it if it is called within another."""

    def whole(self: Self, /, *args: Rest.args, **kwargs: Rest.kwargs) -> Result:
        with self.whole():
            return method(self, *args, **kwargs)

    update_wrapper(whole, method)
    return whole
