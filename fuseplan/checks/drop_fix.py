"""Several fixes of voltage drops in one circuit as one."""

from __future__ import annotations

from collections.abc import Sequence

from fuseplan.checks.fix import Fix
from fuseplan.checks.one_size import thickest
from fuseplan.plan.part_names import names_masked

NAMED = 2
"""So many wires are named in one fix."""


def together(fixes: Sequence[Fix]) -> Fix:
    """What mends several loads of one circuit, the worst first: all of it has to be done."""
    first, *others = dict.fromkeys(fixes)
    values = thickest(each for fix in fixes for each in fix.values)
    said, named = {_done(first): first}, set(first.sizes)
    for fix in others:
        if not named.issuperset(fix.sizes) if fix.sizes else fix.fields[:1] != first.fields[:1]:
            said.setdefault(_done(fix), fix)
    more = list(said.values())[1:]
    words = "; and ".join([first.words, *(fix.words for fix in more[:NAMED - 1])])
    if len(more) >= NAMED:
        words += f"; and the wires of {len(more) - NAMED + 1} more of its loads"
    return Fix(words, tuple(dict.fromkeys(path for fix in fixes for path in fix.fields)),
               tuple(values.items()) if all(fix.values for fix in fixes) else (),
               tuple(thickest(each for fix in fixes for each in fix.sizes).items()))


def _done(fix: Fix) -> str:
    """What is to be done and to what, without the figures behind the colon: the same is said once."""
    return fix.words[:len(names_masked(fix.words).partition(":")[0])]
