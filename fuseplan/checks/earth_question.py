"""The earth wire of a load: without one it counts as bolted to its earth point."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.feed_question import MOST_COILS_A
from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import is_bolted
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.part_names import load_in_words
from fuseplan.plan.parts import Load


def earth_wires_asked(results: Results) -> Iterator[NotSaid]:
    """The earth wire of a load whose wire ends in another zone than its earth point lies in.

    Safety rests on it where the fuse is for more than a coil: a thin earth wire behind a large one burns.
    """
    plan, network = results.plan, results.network
    for number, (name, circuit) in enumerate(plan.circuit.items()):
        if circuit.out_of_scope is not None:
            continue
        for place, load in enumerate(circuit.load):
            earth = plan.earth.get(load.earth or circuit.earth or "")
            if earth is None or not _is_apart(plan, circuit, load, earth.zone):
                continue
            several = len(circuit.load) > 1
            key = f"load.{place}.earth_wire" if several or load.earth is not None else "earth_wire"
            device = int(network.guard[network.circuit_node[number]])
            small = device >= 0 and at_most(float(results.fusing.rating_a[device]), MOST_COILS_A)
            of = f" of {load_in_words(circuit, place)}" if several else ""
            yield NotSaid(
                "circuit", name,
                f"the earth wire{of}, or the joint by which it is bolted to its earth point in another zone "
                "(earth_resistance)",
                "as entered no earth wire is checked against the fuse before it, nor for its drop", "earth_wire",
                f"circuit.{name}.{key}", not small)


def joint_not_said(circuit: Circuit, load: Load) -> bool:
    """Whether a load counts as bolted to its earth point and no joint is stated."""
    return is_bolted(circuit, load) and load.earth_resistance is None and load.to_feed is None


def _is_apart(plan: Plan, circuit: Circuit, load: Load, zone: str | None) -> bool:
    """Whether a load without an earth wire, or a joint stated instead, has a wire that ends in another zone."""
    if not joint_not_said(circuit, load) or zone is None:
        return False
    wire = load.wire or circuit.wire
    if not wire:
        return False
    last = plan.run[wire[-1].along[-1]].zone if wire[-1].along and wire[-1].along[-1] in plan.run else wire[-1].zone
    return last is not None and last != zone
