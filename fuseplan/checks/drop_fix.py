"""A fix of a voltage drop, and several of one circuit as one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fuseplan.checks.fixes import copper_mm2
from fuseplan.plan.part_names import names_masked

NAMED = 2
"""So many wires are named in one fix."""


class DropFix(NamedTuple):
    """A fix of a drop."""

    words: str
    fields: tuple[str, ...]
    """Keys it is about, the cause first."""
    values: tuple[tuple[str, str], ...] = ()
    """What to enter, by key."""


NO_FIX = DropFix("", ())
"""What stands for a fix where none is wanted."""


def together(fixes: Sequence[DropFix]) -> DropFix:
    """What mends several loads of one circuit, the worst first: all of it has to be done."""
    first, *others = dict.fromkeys(fixes)
    values: dict[str, str] = {}
    for path, size in (each for fix in fixes for each in fix.values):
        values[path] = max(values.get(path, size), size, key=copper_mm2)
    said = {_done(first): first}
    for fix in others:
        if fix.fields[:1] != first.fields[:1]:
            said.setdefault(_done(fix), fix)
    more = list(said.values())[1:]
    words = "; and ".join([first.words, *(fix.words for fix in more[:NAMED - 1])])
    if len(more) >= NAMED:
        words += f"; and the wires of {len(more) - NAMED + 1} more of its loads"
    return DropFix(words, tuple(dict.fromkeys(path for fix in fixes for path in fix.fields)),
                   tuple(values.items()) if all(fix.values for fix in fixes) else ())


def _done(fix: DropFix) -> str:
    """What is to be done and to what, without the figures behind the colon: the same is said once."""
    return fix.words[:len(names_masked(fix.words).partition(":")[0])]
