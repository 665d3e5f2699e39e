"""The demand on every branch over three intervals, as an aircraft load analysis asks: 5 s, 5 min and continuous."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.cases import Cases
from fuseplan.engine.consumers import ALTERNATOR, LOAD
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, INTERVAL_WORDS, INTERVALS, LONGER_THAN_S
from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solved
from fuseplan.engine.source import Source
from fuseplan.engine.tree import Tree
from fuseplan.formulas.load import least_followed_voltage, load_current
from fuseplan.quantities import writing
from fuseplan.trace import apply, blank, chosen, larger, largest, smallest, together

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Demands:
    """Currents in A, axes (case, interval, …); of the two ends of the evidence, case 0 as entered and 1 at the upper
    bound."""

    load: Floats
    """Each consumer at the voltage that is worst for it (cases, 3, L)."""
    circuit: Floats
    """Loads of a circuit on together, the worst of each `either` group (cases, 3, circuits)."""
    supply: Floats
    """Supply branches (cases, 3, N)."""
    returns: Floats
    """Return branches (cases, 3, M)."""
    segment: Floats
    """(cases, 3, S)."""

    @property
    def lasting(self) -> Floats:
        """What heats a segment for minutes: the larger of the 5 min and the continuous demand (cases, S)."""
        return np.asanyarray(larger("what heats the wire for minutes", self.segment[:, FIVE_MIN],
                                    self.segment[:, CONTINUOUS]))


def design_currents(network: Network, cases: Cases, post_v: Floats, across_v: Floats) -> Floats:
    """Each consumer's current over each interval (cases, 3, L) [A].

    Parameters
    ----------
    network : Network
    cases : Cases
    post_v : array (cases, C)
        Highest voltage of the battery post: where a current rises with the voltage [V].
    across_v : array (cases, C, constant-power loads)
        Lowest voltage across each load of constant power, whose current rises as it falls [V].
    """
    consumers = network.consumers
    allowed = network.allowed
    condition = network.names.condition
    voltage = largest(np.where(allowed.patterns, post_v[:, None, :, None], -np.inf), 2,
                      lambda corner, interval, _: f"highest voltage of the battery post{_lasting(interval)}", condition
                      ).take(allowed.of, axis=2)
    falling = consumers.constant_power
    if falling.size:
        voltage[:, :, falling] = smallest(
            np.where(allowed.patterns.take(allowed.of[falling], axis=2), across_v[:, None], np.inf), 2,
            lambda corner, interval, _: f"lowest voltage across it{_lasting(interval)}", condition)
    if cases.bounds:
        # Any one load may be at its upper bound while the others, and so the bus, are as entered.
        worst = voltage.max(axis=0)
        worst[:, falling] = voltage[:, :, falling].min(axis=0)
        voltage[1] = worst
    least = apply(least_followed_voltage, reference_voltage_v=consumers.reference_v)
    current = apply(load_current, reference_current_a=cases.reference_a[:, None], voltage_v=np.maximum(voltage, least),
                    reference_voltage_v=consumers.reference_v, exponent=consumers.exponent)
    return np.asanyarray(current * (network.counted & (consumers.kind == LOAD)))


def _lasting(interval: int) -> str:
    shortest = LONGER_THAN_S[interval]
    return " in the conditions it may be on in" + (
        f" that last more than {writing.stated(shortest, 's')}" if shortest else "")


def design_voltages(network: Network, choices: Sequence[Solved], average: Solved,
                    held: Solved | None) -> tuple[Floats, Floats]:
    """What `design_currents` asks for, from the solved network.

    Parameters
    ----------
    network : Network
    choices : sequence of Solved
        For what is on, and for each other choice of the `either` groups.
    average : Solved
        On average demand: a machine that cannot hold its voltage with everything on may hold it most of the time.
    held : Solved, optional
        With an alternator of unknown output holding its regulator voltage.
    """
    consumers, cases = network.consumers, choices[0].cases
    solutions = [*choices, average] if held is None else [*choices, average, held]
    words = [*_choice_words(len(choices), None), "under the average demand, each load by its share of the time",
             f"with {HELD_WORDS}"]
    post = largest(np.stack([each.root_v for each in solutions]), 0, "highest voltage of the battery post", words)
    falling = consumers.constant_power
    lowest = cases.parted(choices[0].across(falling))
    for solution, on in zip(choices[1:], consumers.instead, strict=True):
        lowest = np.where(on[:, falling], np.minimum(lowest, cases.parted(solution.across(falling))), lowest)
    return cases.parted(post), lowest


HELD_WORDS = "an alternator whose output is not given taken as holding its regulator voltage"


def _choice_words(choices: int, held: Solved | None) -> list[str]:
    """Which solution is which."""
    first = "under all that is on together" + (", of each group the strongest" if choices > 1 else "")
    others = ["under all that is on together, of some group another than the strongest"] * (choices - 1)
    return [first, *others, *([f"with {HELD_WORDS}"] if held is not None else [])]


def worst_of_groups(network: Network, current: Floats) -> Floats:
    """The demand with only the strongest member of each `either` group in each circuit left on."""
    if not network.consumers.either:
        return current
    kept = current.copy()
    for members in network.consumers.either:
        theirs = current[..., members]
        strongest = np.arange(members.shape[1]) == theirs.argmax(axis=-1)[..., None]
        kept[..., members] = chosen(strongest, theirs, 0.0,
                                    "is never on together with a stronger load of its group: left out")
    return kept


def demands_of(network: Network, choices: Sequence[Solved], average: Solved, source: Source,
               held: Solved | None = None) -> Demands:
    """Demands on loads, circuits, branches and segments; `choices`, `average` and `held` as for `design_voltages`."""
    consumers = network.consumers
    current = design_currents(network, choices[0].cases, *design_voltages(network, choices, average, held))
    kept, names = worst_of_groups(network, current), network.names
    supply = network.supply.branch_sums(kept, None, lambda node, _, interval: f"{INTERVAL_WORDS[interval]} demand of "
                                        f"{names.supply(node)}, the loads on together", names.consumer)
    returns = network.returns.branch_sums(kept, None, lambda node, _, interval: f"{INTERVAL_WORDS[interval]} demand of "
                                          f"{names.returns(node)}, the loads on together", names.consumer)
    circuit = supply[..., network.circuit_node]
    feeds = np.array(list(network.feed_node.values()), dtype=np.int64)
    earths = np.array(list(network.earth_node.values()), dtype=np.int64)
    worst = choices if held is None else [*choices, held]
    sides = ((network.supply, feeds), (network.returns, earths))
    shared = [_shared(network, each, sides) for each in worst]
    words = _choice_words(len(choices), held)
    supply[..., feeds] = largest(np.stack([at_feeds for at_feeds, _ in shared]), 0, "demand", words)
    returns[..., earths] = largest(np.stack([at_earths for _, at_earths in shared]), 0, "demand", words)
    if network.alternator >= 0 and source.alternator_known:
        supply[:, :, consumers.supply_node[network.alternator]] = source.rated_a
    segment = np.concatenate([supply, returns], axis=2)[:, :, network.segment_column]
    return Demands(load=current, circuit=circuit, supply=supply, returns=returns, segment=segment)


def _shared(network: Network, solution: Solved, sides: Sequence[tuple[Tree, Ints]]) -> list[Floats]:
    """Demand on some branches of each tree: the worst condition, with and without the alternator delivering
    (cases, 3, nodes)."""
    cases = solution.cases
    real, alternator = network.consumers.kind != ALTERNATOR, network.alternator
    found = [blank((cases.count, len(INTERVALS), len(nodes)), 0.0) for _, nodes in sides]
    names = network.names
    for interval, longer in enumerate(LONGER_THAN_S):
        lasting = np.flatnonzero(network.duration_s > longer)
        if not lasting.size:
            continue
        flowing = solution.consumer_a.T * (network.counted[interval] & real)[:, None]
        for (tree, nodes), out in zip(sides, found, strict=True):
            sums = tree.sums(flowing, nodes, f"{INTERVAL_WORDS[interval]} demand, the currents of all loads",
                             names.consumer)
            current = np.abs(sums)
            if alternator >= 0:
                part = tree.holds(alternator)[nodes, None] * solution.consumer_a[:, alternator]
                np.maximum(current, np.abs(together("with the alternator delivering", [
                    ("loads", sums), ("alternator, negative", part)])), out=current)
            worst = largest(cases.parted(current, 1)[:, :, lasting], 2,
                            f"{INTERVAL_WORDS[interval]} demand in its worst condition",
                            lambda place, lasting=lasting: names.condition(int(lasting[place])))
            out[:, interval] = worst.T
    if not cases.bounds:
        return found
    # The upper bound of one load may pull the bus down so far that the others draw less; that is no smaller demand.
    return [np.maximum.accumulate(each, axis=0) for each in found]
