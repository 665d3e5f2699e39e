"""Views: objects that say more of another one, made anew each time they are asked for.

A view that was stored in what it views would hold it as it is held by it, and such a circle stays in memory until the
garbage collector comes by: with every edit another plan's arrays. So what a view works out once is stored there, and
the view is not.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar, cast

T = TypeVar("T")


class Kept(Generic[T]):
    """A property of a view that is worked out once and stored in `viewed`. It must not hold the view."""

    def __init__(self, work: Callable[[Any], T]) -> None:
        self.work, self.__doc__ = work, work.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.key = f"{owner.__name__}.{name}"

    def __get__(self, view: Any, owner: type | None = None) -> T:
        known = view.viewed.__dict__
        if self.key not in known:
            known[self.key] = self.work(view)
        return cast(T, known[self.key])
