"""The first instant of cranking: the starter stands still and draws its inrush current."""

from __future__ import annotations

from dataclasses import replace

from fuseplan.array_types import Floats
from fuseplan.engine.cranking import Cranking, starter_consumer
from fuseplan.engine.network import Network
from fuseplan.engine.scenario import rows
from fuseplan.engine.solve import solve
from fuseplan.engine.source import Source
from fuseplan.formulas.inrush import inrush_current
from fuseplan.records import dataclass
from fuseplan.trace import apply, given, number


@dataclass(frozen=True)
class Dip:
    """The first instant of cranking, the starter drawing its inrush current. Voltages in V."""

    current_a: float
    battery_v: float
    survivor_v: tuple[float, ...]
    """In the order of the survivors."""


def dip_of(network: Network, source: Source, fuse_ohm: Floats, cranking: Cranking) -> Dip | None:
    """The first instant, currents as entered: the starter stands still. None where neither its locked point nor its
    inrush is given."""
    index = cranking.condition
    starter = starter_consumer(network, index) if index >= 0 else -1
    if starter < 0:
        return None
    consumers = network.consumers
    owner = consumers.owner[starter]
    load = network.plan.circuit[owner[1]].load[int(consumers.number[starter])]
    few, narrow = rows(network, source, [index])
    reference, stated = few.consumers.reference_a.copy(), few.consumers.reference_v.copy()
    exponent, locked = few.consumers.exponent.copy(), few.consumers.locked_ohm.copy()
    exponent[starter] = given(1.0, "n", "-", "a starter that stands still is a resistance", "Ohm's law")
    locked[starter] = 0.0
    if load.locked_current is not None and load.locked_at is not None:
        reference[starter] = given(float(load.locked_current), "I₁", "A", "locked current of the starter",
                                   f"the plan, circuit.{owner[1]}")
        stated[starter] = given(float(load.locked_at), "U₁", "V", "voltage of its locked point",
                                f"the plan, circuit.{owner[1]}")
    elif load.inrush is None:
        return None
    else:
        reference[starter] = _surge(load.inrush, reference[starter], owner[1])
    moved = replace(few.consumers, reference_a=reference, reference_v=stated, exponent=exponent, locked_ohm=locked)
    solution = solve(replace(few, consumers=moved), narrow, fuse_ohm)
    volts = solution.across_v[0]
    return Dip(number(solution.consumer_a[0, starter]), number(solution.root_v[0]),
               tuple(number(volts[each.consumer]) for each in cranking.survivors))


def _surge(inrush: float, current_a: float, circuit: str) -> float:
    multiple = given(float(inrush), "m", "-", "switch-on current of the starter as a multiple of its running one",
                     f"the plan, circuit.{circuit}")
    return number(apply(inrush_current, current_a=current_a, multiple=multiple))
