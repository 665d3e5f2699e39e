"""A fix of a voltage drop, and several of one circuit as one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fuseplan.checks.fixes import copper_mm2

NAMED = 2
"""So many wires are named in one fix."""


class DropFix(NamedTuple):
    """A fix of a drop."""

    words: str
    fields: tuple[str, ...]
    """Keys it is about, the cause first."""
    values: tuple[tuple[str, str], ...] = ()
    """What to enter, by key."""


def together(fixes: Sequence[DropFix]) -> DropFix:
    """What mends several loads of one circuit, the worst first: all of it has to be done."""
    first, *others = dict.fromkeys(fixes)
    values: dict[str, str] = {}
    for path, size in (each for fix in fixes for each in fix.values):
        values[path] = max(values.get(path, size), size, key=copper_mm2)
    # What is to be done stands before the colon, the figures behind it: the same is said once.
    said = {first.words.partition(":")[0]: first}
    for fix in others:
        if fix.fields[:1] != first.fields[:1]:
            said.setdefault(fix.words.partition(":")[0], fix)
    more = list(said.values())[1:]
    words = "; and ".join([first.words, *(fix.words for fix in more[:NAMED - 1])])
    if len(more) >= NAMED:
        words += f"; and the wires of {len(more) - NAMED + 1} more of its loads"
    return DropFix(words, tuple(dict.fromkeys(path for fix in fixes for path in fix.fields)),
                   tuple(values.items()) if all(fix.values for fix in fixes) else ())
