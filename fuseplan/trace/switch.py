"""Whether the engine is recording, for the thread that runs it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

Arguments = ParamSpec("Arguments")
Answer = TypeVar("Answer")

_ON: ContextVar[bool] = ContextVar("fuseplan_trace", default=False)
recording = _ON.get
"""Whether a `record` block is open here."""


@contextmanager
def record(on: bool = True) -> Iterator[None]:
    """Run what is inside with recording on, or off again."""
    token = _ON.set(on)
    try:
        yield
    finally:
        _ON.reset(token)


def cached(maxsize: int) -> Callable[[Callable[Arguments, Answer]], Callable[Arguments, Answer]]:
    """`lru_cache` for a function that uses the vocabulary: a recorded run neither reads nor fills the cache."""

    def decorate(function: Callable[Arguments, Answer]) -> Callable[Arguments, Answer]:
        kept = lru_cache(maxsize=maxsize)(function)

        @wraps(function)
        def call(*arguments: Arguments.args, **named: Arguments.kwargs) -> Answer:
            if recording():
                return function(*arguments, **named)
            return kept(*arguments, **named)  # type: ignore[arg-type]

        return call

    return decorate
