"""Lines on the screens end where those of the texts do: never between a number and its unit."""

from __future__ import annotations

from rich._wrap import divide_line
from textual import content

from fuseplan.quantities.tied import TIE, tied


def divide(text: str, width: int, fold: bool = True) -> list[int]:
    """Where a text is broken into lines of a width, as places in it."""
    held = tied(text)
    if TIE in held and any(len(word) > width for word in held.split(" ")):
        held = text
    return divide_line(held, width, fold)


def keep_numbers_whole() -> None:
    """Have every text of the screens broken by `divide`."""
    content.divide_line = divide  # type: ignore[attr-defined]  # Textual has no setting for it
