"""One size for a wire, whatever finding names it: what its load, its fuse and a drop ask for is bought once.

Each check names the size its own fault asks for. Where another asks for a thicker one in place of the same wire, the
check is asked once more with that known, so that the fuse it names with the wire goes with that size too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import replace
from typing import TypeVar

from fuseplan.checks.fixes import copper_mm2
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.engine.results import Results

Wire = TypeVar("Wire", int, str)


def with_one_size(results: Results, found: Sequence[Finding], findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, all that name a size for a wire with the thickest that any of them names. What only asks for a
    reading makes no wire thicker that fails as it is. `found` is what the checks found, of which some have become
    questions."""
    for asks_reading in (False, True):
        asked = thickest(size for each in findings if asks_reading or not each.measure for size in each.sizes)
        less = [each for each in findings if each.measure is asks_reading and names_less(each.sizes, asked)]
        if less:
            findings = _asked_again(results, found, findings, less, asked)
    return findings


def asked_too(results: Results, segment: int, size: str) -> str:
    """A size that a check names for a segment, or the thicker one that another asks for in its place."""
    return max(size, results.asked_sizes.get(segment, size), key=copper_mm2)


def thickest(sizes: Iterable[tuple[Wire, str]]) -> dict[Wire, str]:
    """The thickest of some sizes for each wire, which are named by path or number."""
    found: dict[Wire, str] = {}
    for wire, size in sizes:
        found[wire] = max(found.get(wire, size), size, key=copper_mm2)
    return found


def knowing(results: Results, asked: Mapping[int, str]) -> Results:
    """The results, for checks that are to name no less than what is asked for in place of each of some wires."""
    found = copy(results)
    object.__setattr__(found, "asked_sizes", thickest((*results.asked_sizes.items(), *asked.items())))
    return found


def names_less(sizes: Iterable[tuple[int, str]], asked: Mapping[int, str]) -> bool:
    """Whether any of some sizes is less than what is asked for in place of its wire."""
    return any(copper_mm2(size) < copper_mm2(asked[segment]) for segment, size in sizes)


def _asked_again(results: Results, found: Sequence[Finding], findings: tuple[Finding, ...], less: Sequence[Finding],
                 asked: Mapping[int, str]) -> tuple[Finding, ...]:
    """The findings, some with what their checks name once it is known which size is asked for in place of a wire."""
    better = knowing(results, asked)
    rules = [all_rules()[check] for check in dict.fromkeys(each.check for each in less)]
    again = {(each.identity, each.message): each for rule in rules for each in rule.find(rule, better)
             if isinstance(each, Finding)}
    # A finding that has become a question since says another message, and what to do first before the same fix.
    now = [(each, again[each.identity, each.message]) for each in found if (each.identity, each.message) in again]
    wanting = {id(each) for each in less}

    def with_more(each: Finding) -> Finding:
        old, new = next(((old, new) for old, new in now if (old.identity, old.values) == (each.identity, each.values)
                         and each.fix.endswith(old.fix)), (each, each))
        return replace(each, fix=each.fix.removesuffix(old.fix) + new.fix, values=new.values, sizes=new.sizes,
                       fields=tuple(dict.fromkeys((*each.fields, *new.fields))))

    return tuple(with_more(each) if id(each) in wanting else each for each in findings)
