"""Sizes that are asked for in place of a wire by more than one check."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import copy
from typing import TypeVar

from fuseplan.checks.fixes import copper_mm2
from fuseplan.engine.results import Results

Wire = TypeVar("Wire", int, str)


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
