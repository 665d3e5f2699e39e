"""The sizes of wires that take a resistance, or a voltage drop, out of some paths for little copper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fuseplan.engine.results import Results
from fuseplan.engine.stock import Size

BOUGHT = 1e-9
"""Copper of a step up to the size that another check asks for: it is bought in any case."""


class Path(NamedTuple):
    """What lies one behind the other."""

    parts: Mapping[int, Sequence[float]]
    """What each segment contributes as fitted, and with each size of its ladder (V, or ohm)."""
    most: float
    """What they may contribute together."""


def cheapest(results: Results, paths: Sequence[Path], ladders: Mapping[int, Sequence[Size]]) -> dict[int, str] | None:
    """The sizes with which no path has more than it may: step by step up its `ladders`, the sizes above what is fitted,
    that wire which gains most of what is still wanted for its copper, then back what is not needed. None where all of
    them at the largest are not enough."""
    segments = results.network.segments
    taken = {index: len(sizes) for index, sizes in ladders.items()}

    def over() -> list[float]:
        """What each path has too much."""
        return [sum(part[taken[index]] for index, part in path.parts.items()) - path.most for path in paths]

    def copper(index: int) -> float:
        """What the next step of a segment takes."""
        place, sizes = taken[index], ladders[index]
        before = sizes[place - 1].area_mm2 if place else float(segments.area_mm2[index])
        return BOUGHT if not place and index in results.asked_sizes else \
            (sizes[place].area_mm2 - before) * float(segments.length_m[index])

    def worth(index: int) -> float:
        place = taken[index]
        return sum(min(path.parts[index][place] - path.parts[index][place + 1], max(each, 0.0))
                   for path, each in zip(paths, excess, strict=True) if index in path.parts) / copper(index)

    if not all(each <= 0 for each in over()):
        return None
    taken = dict.fromkeys(ladders, 0)
    steps: list[tuple[float, int]] = []
    excess = over()
    while not all(each <= 0 for each in excess):
        best = max((index for index, sizes in ladders.items() if taken[index] < len(sizes)), key=worth)
        steps.append((copper(best), best))
        taken[best] += 1
        excess = over()
    for _, index in sorted(steps, reverse=True):
        taken[index] -= 1
        if not all(each <= 0 for each in over()):
            taken[index] += 1
    return {index: ladders[index][place - 1].words for index, place in taken.items() if place}
