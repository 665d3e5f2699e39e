"""What a finding asks to be done."""

from __future__ import annotations

from typing import NamedTuple


class Fix(NamedTuple):
    """What to do, the keys it changes, that first which it names first, and what to enter at them."""

    words: str
    fields: tuple[str, ...]
    values: tuple[tuple[str, str], ...] = ()
    sizes: tuple[tuple[int, str], ...] = ()
    """The wires it names by their number, each with the size to fit."""
    insulation: str | None = None
    """What these are to be insulated with, where that saves copper."""
    lacks_size: bool = False
    """Whether for a wire of its part no size on file is enough."""


NO_FIX = Fix("", ())
"""What stands for a fix where none is wanted."""
