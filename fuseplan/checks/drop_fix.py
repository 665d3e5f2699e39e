"""The fix of a voltage drop in the wires of one part, and several fixes as one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from fuseplan.checks.fix import Fix
from fuseplan.checks.fuse_with_wire import in_place
from fuseplan.checks.one_size import thickest
from fuseplan.checks.subjects import segment_path
from fuseplan.engine.results import Results
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


def both_of(fix: Fix, more: Fix) -> Fix:
    """Two fixes of which each is needed."""
    return Fix(f"{fix.words}; and {more.words}", (*fix.fields, *more.fields), (*fix.values, *more.values),
               (*fix.sizes, *more.sizes))


def of_wires(results: Results, sizes: Mapping[int, str]) -> Fix:
    """The change of one part's wire, the thinnest segment first, and with it those of the same size."""
    thin = thinnest(results, sizes)
    fitted = tuple(sorted(sizes.items(), key=lambda each: (each[1] != sizes[thin], each[1], each[0] != thin, each[0])))
    keys = tuple((segment_path(results, index, "size"), size) for index, size in fitted)
    words = in_place(results, [(index, results.network.stock.wire_words(size)) for index, size in fitted])
    return Fix(f"fit {words}", (keys[0][0],), keys, fitted)


def thinnest(results: Results, segments: Iterable[int]) -> int:
    """The thinnest of some segments."""
    return min(segments, key=lambda index: float(results.network.segments.area_mm2[index]))
