"""Pins of connectors as the checks see them: the current in each, its wire's area, its path in the plan."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.rule import SubjectKind
from fuseplan.engine.demand import Demands
from fuseplan.engine.results import Results
from fuseplan.errors import TableError
from fuseplan.plan.looms import Pin
from fuseplan.plan.nets import CircuitEnd, PinId
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables.conductors import conductor


def connector_subject(at: PinId) -> tuple[SubjectKind, str]:
    """The connector of a pin."""
    return "connector", at.connector


def pin_path(at: PinId, key: str) -> str:
    """Path of one key of a pin."""
    return f"connector.{at.connector}.pin.{at.pin}.{key}"


def area_mm2(size: WireSize | None) -> float:
    """Cross-section of a size; NaN where it is not given or no table holds it."""
    if size is None:
        return math.nan
    try:
        return conductor(size.system, size.name).area_mm2
    except TableError:
        return size.area_mm2


def pin_currents(results: Results, ends: dict[PinId, list[CircuitEnd]], demands: Demands) -> dict[PinId, Floats]:
    """Continuous current of the circuits that end on each pin in each case of the demands (cases,) [A]; NaN where it is
    not known, as of a circuit out of scope or one that lacks a current. Pins on which no circuit ends are left out.

    Wires that come to the pin add up, and so do those that go on from it: the larger sum counts.
    """
    numbers = _numbers(results)
    return {at: through_contact_a(results, listed, demands, numbers) for at, listed in ends.items()
            if any(end.owner[0] != "loom" for end in listed)}


def through_contact_a(results: Results, ends: list[CircuitEnd], demands: Demands,
                      numbers: Mapping[tuple[tuple[str, str], str], int] | None = None) -> Floats:
    """What the wires of one contact carry together in each case of the demands, as `pin_currents` (cases,) [A]."""
    numbers = _numbers(results) if numbers is None else numbers
    sums = {"start": np.zeros(len(demands.load)), "end": np.zeros(len(demands.load))}
    for end in ends:
        if end.owner[0] == "loom":  # in no circuit: its current is that of its pin, if any
            continue
        owner = (end.owner[0], "") if end.owner[0] == "alternator" else end.owner
        number = numbers.get((owner, f"{end.place}.{end.number}"))
        known = number is not None and results.network.segment_current_known(number)
        sums[end.side] += demands.lasting[:, number] if known else math.nan
    return np.asarray(np.maximum(*sums.values()))


def _numbers(results: Results) -> dict[tuple[tuple[str, str], str], int]:
    """The number of each segment, by its owner and its place there."""
    segments = results.network.segments
    return {(owner, place): number for number, (owner, place) in enumerate(
        zip(segments.owner, segments.place, strict=True))}


def wires_in(ends: list[CircuitEnd]) -> list[CircuitEnd]:
    """The ends on a pin that are wires of their own: of two segments of one wire that meet there, one."""
    found: dict[tuple[tuple[str, str], str], CircuitEnd] = {}
    for end in ends:
        found.setdefault((end.owner, end.place), end)
    return list(found.values())


def wire_areas_mm2(pin: Pin, found: list[CircuitEnd]) -> list[float]:
    """Areas of the wires in a contact: those of the circuits that end there, else the one found in the car."""
    if pin.extension is not None and pin.extension.size is not None and not found:
        return [area_mm2(pin.extension.size)]
    return [area_mm2(end.segment.size) for end in found] or [area_mm2(pin.size)] * int(pin.wires or 1)
