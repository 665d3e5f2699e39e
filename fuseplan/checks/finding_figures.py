"""Which figures of the result a finding holds against one another: those its check declares, found by their values at
the part it names."""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Iterator
from dataclasses import replace
from typing import Any

from fuseplan.checks.rule import Finding, all_rules
from fuseplan.results.address import FigureSpot, Spot, figures, find, inside, joined
from fuseplan.results.part import Figure

SAME = 1e-9
"""Relative difference at which a finding's number is the figure's."""

Both = tuple[FigureSpot | None, FigureSpot | None]


def addressed(whole: Spot, finding: Finding) -> Finding:
    """A finding with the addresses of its figure and its limit; None for one that is no figure of the result, such as a
    current at its worst case or a constant of a rule."""
    figure, limit = both(whole, finding)
    return replace(finding, address=None if figure is None else figure.address,
                   limit_address=None if limit is None else limit.address)


def both(whole: Spot, finding: Finding) -> Both:
    """The figure and the limit of a finding in the result, None for one that is none."""
    pairs = all_rules()[finding.check].figures
    if not pairs or finding.figure is None:
        return None, None
    spots = list(_spots(whole, finding, frozenset(each for pair in pairs for each in pair if each is not None)))
    found: list[Both] = []
    for declared, against in pairs:
        figure = next((each for each in spots if each.declaration is declared and _is(each, finding.figure)), None)
        limits = [each for each in spots if each.declaration is against and _is(each, finding.limit)]
        found.append((figure, _nearest(limits, figure)))
    return max(found, key=lambda pair: (pair[0] is not None, pair[1] is not None))


def _is(spot: FigureSpot, value: float | None) -> bool:
    found = spot.value
    return value is not None and isinstance(found, (int, float)) and math.isclose(found, value, rel_tol=SAME)


def _nearest(limits: list[FigureSpot], figure: FigureSpot | None) -> FigureSpot | None:
    return max(limits, default=None, key=lambda each: _common(each, figure))


def _common(spot: FigureSpot, other: FigureSpot | None) -> int:
    """How many steps of two addresses are the same: the limit of a figure stands next to it."""
    steps = () if other is None else other.steps
    return next((count for count, (one, two) in enumerate(zip(spot.steps, steps, strict=False)) if one != two),
                min(len(spot.steps), len(steps)))


def _spots(whole: Spot, finding: Finding, wanted: Container[Figure[Any]]) -> Iterator[FigureSpot]:
    """The wanted figures of the part a finding names and of those it would have changed; those of the conditions and of
    battery and alternator where it names none that has figures of its own."""
    parts = [finding.owner, *(tuple(path.split(".")[:2]) for path in finding.fields)]
    places = [spot for kind, name in _pairs(parts) if (spot := find(whole, joined((f"{kind}s", name)))) is not None]
    if finding.subject_kind in ("alternator", "battery", "plan"):
        places += [each for each in inside(whole) if each.steps[0] in ("conditions", "power")]
    for place in places:
        yield from figures(place, wanted)


def _pairs(parts: Iterable[tuple[str, ...]]) -> Iterator[tuple[str, str]]:
    for part in dict.fromkeys(parts):
        if len(part) == 2 and part[0] in ("circuit", "feed", "earth"):
            yield part[0], part[1]
