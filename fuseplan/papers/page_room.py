"""How a page of so many lines is shared out among its blocks: each has forms of different length, and says in its
shortest how much it leaves out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

Within = Callable[[int], list[str]]
"""A block's lines in at most so many, or its fewest where these are more."""


def first_within(forms: Iterable[list[str]], most: int) -> list[str]:
    """The first of several forms that has at most `most` lines, else the last."""
    form: list[str] = []
    for form in forms:
        if len(form) <= most:
            break
    return form


def shared_out(blocks: Mapping[str, Within], turns: Iterable[tuple[str, int]], most: int) -> list[str]:
    """The blocks in their order, in at most `most` lines unless their fewest are more.

    Args:
        blocks: by name
        turns: who takes lines first, and how many at most in this turn; no turn takes what a block has, its own
            included
    """
    placed = {name: block(0) for name, block in blocks.items()}
    for name, lines in turns:
        if name in blocks:
            has = len(placed[name])
            left = most - sum(map(len, placed.values())) + has
            placed[name] = blocks[name](max(has, min(lines, left)))
    return [line for each in placed.values() for line in each]
