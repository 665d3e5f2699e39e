"""The earth wire of a load: without one it counts as bolted to its earth point."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.feed_question import MOST_COILS_A
from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.intervals import FIVE_MIN
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import is_bolted
from fuseplan.plan.model import Circuit, Earth, Plan
from fuseplan.plan.part_names import in_words, load_in_words
from fuseplan.plan.parts import Load, Segment

BOLTED_A = 10.0
"""What draws more than this for minutes has an earth wire, starters and glow plugs left aside: lamps, horns and small
motors are earthed by their own bodies. Common practice, no source."""


def earth_wires_asked(results: Results) -> Iterator[NotSaid]:
    """The earth wire of a load whose wire ends in another zone than its earth point lies in, or may do so as one of the
    zones is not stated; and of one that draws more than any load has that is earthed by its own body, or a socket.

    Safety rests on it where the fuse is for more than a coil: a thin earth wire behind a large one burns. With a zone
    not stated it is only asked, and behind a small fuse it is not, unless the load draws that much.
    """
    plan, network = results.plan, results.network
    heavy, sockets = _heavy(results), set(network.marked.get("role socket", ()))
    for number, (name, circuit) in enumerate(plan.circuit.items()):
        if circuit.out_of_scope is not None:
            continue
        for place, load in enumerate(circuit.load):
            earth, wire = load.earth or circuit.earth or "", load.wire or circuit.wire
            point = plan.earth.get(earth)
            if point is None or not wire or not joint_not_said(circuit, load):
                continue
            zone, end = point.zone, _end_zone(plan, wire[-1])
            known = zone is not None and end is not None
            device = int(network.guard[network.circuit_node[number]])
            small = device >= 0 and at_most(float(results.fusing.rating_a[device]), MOST_COILS_A)
            by_wire = number in sockets or ((number, place) in heavy and not _on_the_engine(circuit, point))
            if not by_wire and (
                    zone == end if known else small or _speaks_for_one_place(plan, circuit, point, end)):
                continue
            several = len(circuit.load) > 1
            key = f"load.{place}.earth_wire" if several or load.earth is not None else "earth_wire"
            of = f" of {load_in_words(circuit, place)}" if several else ""
            where = "(earth_resistance)" if by_wire and (zone == end or not known) else \
                "in another zone (earth_resistance)" if known else (
                    "(earth_resistance); or, where both are in one zone, the zone of "
                    f"{in_words(plan, 'earth', earth) if zone is None else 'the end of its wire'}")
            yield NotSaid(
                "circuit", name, f"the earth wire{of}, or the joint by which it is bolted to its earth point {where}",
                "as entered no earth wire is checked against the fuse before it, nor for voltage drop", "earth_wire",
                f"circuit.{name}.{key}", by_wire or (known and not small))


def _heavy(results: Results) -> set[tuple[int, int]]:
    """The loads, by circuit and place, that may draw more than `BOLTED_A` for minutes, a guess at its upper bound."""
    consumers, drawn = results.network.consumers, results.demands.load[:, FIVE_MIN:].max(axis=(0, 1))
    found = np.flatnonzero((consumers.kind == LOAD) & exceeds(drawn, BOLTED_A))
    return set(zip(consumers.circuit[found].tolist(), consumers.number[found].tolist(), strict=True))


def joint_not_said(circuit: Circuit, load: Load) -> bool:
    """Whether a load counts as bolted to its earth point and no joint is stated."""
    return is_bolted(circuit, load) and load.earth_resistance is None and load.to_feed is None


def _end_zone(plan: Plan, wire: Segment, end: int = -1) -> str | None:
    """The zone in which a length of wire ends, or with 0 begins; that of its run, where it lies in runs."""
    return plan.run[wire.along[end]].zone if wire.along and wire.along[end] in plan.run else wire.zone


def _speaks_for_one_place(plan: Plan, circuit: Circuit, point: Earth, end: str | None) -> bool:
    """Whether something else than the zone of an earth point says that a load is where it is: its strap begins in the
    zone that the load's wire ends in, or it is a starter, which is bolted to the engine."""
    begins = _end_zone(plan, point.wire[0], 0) if point.zone is None and point.wire else None
    return (begins is not None and begins == end) or _on_the_engine(circuit, point)


def _on_the_engine(circuit: Circuit, point: Earth) -> bool:
    """Whether the loads of a circuit are bolted to the engine by what they are."""
    return circuit.role in ("starter", "glow_plugs") and bool(point.engine)
