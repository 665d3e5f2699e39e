"""The demand on every branch over three intervals, as an aircraft load analysis asks: 5 s, 5 min and continuous."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.cases import Cases
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.intervals import (
    CONTINUOUS,
    CRANKING_S,
    FIVE_MIN,
    INTERVAL_WORDS,
    INTERVALS,
    LONGER_THAN_S,
    LONGEST_MOMENTARY_S,
)
from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solved
from fuseplan.engine.source import Source
from fuseplan.formulas.load import least_followed_voltage, load_current
from fuseplan.formulas.pulsed import heating_current
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.trace import apply, bare, blank, chosen, given, larger, largest, spread, together


@dataclass(frozen=True)
class Demands:
    """Currents in A, axes (case, interval, …); of the two ends of the evidence, case 0 as entered and 1 at the upper
    bound."""

    load: Floats
    """Each load at its design voltage (cases, 3, L)."""
    circuit: Floats
    """Loads of a circuit on together, the worst of each `either` group (cases, 3, circuits)."""
    supply: Floats
    """Supply branches (cases, 3, N)."""
    returns: Floats
    """Return branches (cases, 3, M)."""
    segment: Floats
    """(cases, 3, S)."""

    @cached_property
    def lasting(self) -> Floats:
        """What heats a segment for minutes: the larger of the 5 min and the continuous demand (cases, S)."""
        return np.asanyarray(larger("what heats the wire for minutes", self.segment[:, FIVE_MIN],
                                    self.segment[:, CONTINUOUS]))

    def lasting_at(self, nodes: Ints) -> Floats:
        """The same for supply branches (cases, nodes)."""
        return np.maximum(self.supply[:, FIVE_MIN, nodes], self.supply[:, CONTINUOUS, nodes])


def seconds_on(network: Network) -> Floats:
    """How long what each circuit draws for seconds is on, at most (circuits,) [s]: longer in the stated role of the
    starter."""
    found = np.full(len(network.circuits), LONGEST_MOMENTARY_S)
    found[[number for number in network.marked.get("role starter", ())
           if network.circuits[number].role == "starter"]] = CRANKING_S
    return found


def _lowest_running_v(network: Network) -> float:
    """Design voltage of what draws more the lower the voltage: the lowest one the limits count as running [V]."""
    rule = network.limit_set.voltage
    return given(rule.lowest_running_v * network.system_v / 12.0, "U", "V", lambda: "design voltage of a load of "
                 "constant power: the lowest voltage with the engine running, "
                 f"{writing.stated(rule.lowest_running_v, 'V')} of a 12 V system, in proportion to the system voltage",
                 rule.lowest_running_source)


def _highest_v(source: Source) -> Floats:
    """Design voltage in each condition of what draws more the higher the voltage (C,) [V]: the most the terminal of
    an alternator has where the engine drives one, else the rested battery's. What else is on does not lower it."""
    regulator = spread(source.highest_v, len(source.running))
    return np.asanyarray(chosen(source.running, regulator, source.open_circuit_v, ""))


def design_currents(network: Network, cases: Cases, source: Source) -> Floats:
    """Each load's current at its design voltage, and each relay coil's that has a wire of its own, over each interval
    (cases, 3, L) [A].

    The design voltage is stated, not solved for: a load's current does not depend on what else the plan holds.
    """
    consumers, allowed = network.consumers, network.allowed
    voltage = largest(np.where(allowed.patterns, _highest_v(source)[:, None], -np.inf), 1,
                      lambda interval, _: f"design voltage, the highest{_lasting(interval)}", network.names.condition
                      ).take(allowed.of, axis=1)
    voltage[:, consumers.constant_power] = _lowest_running_v(network)
    current = _at(network, cases.reference_a[None], voltage[:, None]).swapaxes(0, 1)
    return np.asanyarray(current * (network.counted & ((consumers.kind == LOAD) | np.logical_or(*network.coils_wired))))


def _at(network: Network, reference_a: Floats, voltage_v: Floats) -> Floats:
    """Currents of all consumers by their laws at a voltage, by what they heat; arrays (…, L). What is switched many
    times a second counts by its effective value, as if the pulses of all coincided."""
    consumers = network.consumers
    least = apply(least_followed_voltage, reference_voltage_v=consumers.reference_v)
    mean: Floats = np.asanyarray(apply(
        load_current, reference_current_a=reference_a, voltage_v=np.maximum(voltage_v, least),
        reference_voltage_v=consumers.reference_v, exponent=consumers.exponent))
    pulsed = bare(consumers.heating) != 1.0
    if not pulsed.any():
        return mean
    return np.asanyarray(chosen(pulsed, apply(heating_current, current_a=mean, factor=consumers.heating), mean, ""))


def _lasting(interval: int) -> str:
    shortest = LONGER_THAN_S[interval]
    return " in the conditions it may be on in" + (
        f" that last more than {writing.stated(shortest, 's')}" if shortest else "")


REGULATED_WORDS = "an alternator whose output is not given taken as holding its regulator voltage"


def _choice_words(choices: int, regulated: Solved | None) -> list[str]:
    """Which solution is which."""
    first = "of all that is on together" + (", of each group the strongest" if choices > 1 else "")
    others = ["of all that is on together, of some group another than the strongest"] * (choices - 1)
    return [first, *others, *([f"with {REGULATED_WORDS}"] if regulated is not None else [])]


def worst_of_groups(network: Network, current: Floats) -> Floats:
    """The demand with only the strongest member of each `either` group in each circuit left on."""
    if not network.consumers.either:
        return current
    kept = current.copy("K")
    for members in network.consumers.either:
        theirs = current[..., members]
        strongest = np.arange(members.shape[1]) == theirs.argmax(axis=-1)[..., None]
        kept[..., members] = chosen(strongest, theirs, 0.0,
                                    "is never on together with a stronger load of its group: left out")
    return kept


class Together(NamedTuple):
    """What flows over one interval where many circuits share a branch, with one choice of what is on together."""

    conditions: Ints
    """Those that last longer, and in which something else is on than with the usual choice, or all for that one."""
    flowing_a: Floats
    """The currents of all loads at their design voltages, through the nodes of the feeds and then of the earth points
    (nodes, cases, conditions)."""


@dataclass(frozen=True)
class Drawn:
    """What the loads draw at their design voltages, before anything is solved; currents in A. `load`, `circuit`,
    `supply` and `returns` as in `Demands`: where many circuits share a branch, with all loads on together."""

    load: Floats
    circuit: Floats
    supply: Floats
    returns: Floats
    together: tuple[tuple[Together, ...], ...]
    """For each choice of the `either` groups, the usual one first, by interval."""
    alternator: Flags
    """Which nodes of the feeds and of the earth points carry what the alternator delivers."""


def drawn_of(network: Network, cases: Cases, source: Source) -> Drawn:
    """What the loads of a network draw in some cases."""
    current = design_currents(network, cases, source)
    kept, names = worst_of_groups(network, current), network.names
    by_consumer = kept.transpose(2, 1, 0)
    supply, returns = (tree.sums(by_consumer, None, lambda node, interval, _, called=called:
                                 f"{INTERVAL_WORDS[interval]} demand of {called(node)}, the loads on together",
                                 names.consumer).transpose(2, 1, 0)
                       for tree, called in ((network.supply, names.supply), (network.returns, names.returns)))
    feeds, earths = _nodes(network)
    carries = np.zeros(len(feeds) + len(earths), dtype=bool)
    if network.alternator >= 0:
        carries = np.concatenate([network.supply.holds(network.alternator)[feeds],
                                  network.returns.holds(network.alternator)[earths]])
    return Drawn(load=current, circuit=supply[..., network.circuit_node], supply=supply, returns=returns,
                 together=_together(network, cases, source), alternator=carries)


def _together(network: Network, cases: Cases, source: Source) -> tuple[tuple[Together, ...], ...]:
    consumers = network.consumers
    voltage = np.repeat(_highest_v(source)[:, None], consumers.count, axis=1)
    voltage[:, consumers.constant_power] = _lowest_running_v(network)
    current = _at(network, cases.reference_a[None], voltage[:, None])
    sets = network.on_together
    sides = [*zip((network.supply, network.returns), _nodes(network), strict=True)]

    def through(numbers: Ints) -> Floats:
        drawn = (current[sets.condition[numbers]] * sets.drawing[numbers][:, None]).transpose(2, 0, 1)
        return np.concatenate([tree.sums(drawn, nodes, "the currents of all loads that count", network.names.consumer)
                               for tree, nodes in sides])

    # Of many cases a piece small enough to work on quickly.
    every = np.arange(len(sets.condition))
    pieces = [every] if cases.bounds else [*every[:, None]] or [every]
    flowing = np.concatenate([through(each) for each in pieces], axis=1).swapaxes(1, 2)
    return tuple(tuple(Together(condition, flowing[:, :, place]) for condition, place in by_interval)
                 for by_interval in sets.by_choice)


def demands_of(network: Network, drawn: Drawn, choices: Sequence[Solved], source: Source,
               regulated: Solved | None = None) -> Demands:
    """Demands on loads, circuits, branches and segments.

    Args:
        drawn: what its loads draw in the cases of the choices
        choices: for what is on, and for each other choice of the `either` groups: what the alternator delivers in each
        regulated: the first with an alternator of unknown output holding its regulator voltage
    """
    supply, returns = drawn.supply.copy("K"), drawn.returns.copy("K")
    feeds, earths = _nodes(network)
    supply[..., feeds], returns[..., earths] = shared_demands(network, drawn, choices, source, regulated)
    if network.alternator >= 0 and source.alternator_known:
        supply[:, :, network.consumers.supply_node[network.alternator]] = source.rated_a
    segment = np.concatenate([supply, returns], axis=2)[:, :, network.segment_column]
    return Demands(load=drawn.load, circuit=drawn.circuit, supply=supply, returns=returns, segment=segment)


def _nodes(network: Network) -> tuple[Ints, Ints]:
    """The branches that many circuits share: nodes of the feeds, and of the earth points."""
    return (np.array(list(network.feed_node.values()), dtype=np.int64),
            np.array(list(network.earth_node.values()), dtype=np.int64))


def shared_demands(network: Network, drawn: Drawn, choices: Sequence[Solved], source: Source,
                   regulated: Solved | None = None, condition: int | None = None) -> tuple[Floats, Floats]:
    """Demand on feeds (cases, 3, feeds) and earth points (cases, 3, earths) in the worst condition, or in one; 0 over
    an interval that it does not last. Arguments as `demands_of`."""
    solved = [*zip(choices, drawn.together, strict=True),
              *([(regulated, drawn.together[0])] if regulated is not None else [])]
    found = largest(np.stack([_shared(network, each, together, drawn.alternator, source, condition)
                              for each, together in solved]), 0, "demand", _choice_words(len(choices), regulated))
    feeds = len(network.feed_node)
    return found[..., :feeds], found[..., feeds:]


def _shared(network: Network, solution: Solved, by_interval: Sequence[Together], carries: Flags,
            source: Source, condition: int | None) -> Floats:
    """Demand on the nodes of feeds and earth points (cases, 3, nodes): the worst condition, or the one given, without
    the alternator delivering, with what the loads ask of it, and with all it is rated for, as a flat battery takes."""
    cases, alternator, names = solution.cases, network.alternator, network.names
    found = blank((cases.count, len(INTERVALS), len(carries)), 0.0)
    # What is on before it, and takes its share, may as well be off.
    full = np.asanyarray(chosen(source.running, spread(source.rated_a, len(source.running)), 0.0,
                                "the engine is still"))
    for interval, (lasting, flowing) in enumerate(by_interval):
        if condition is not None:
            lasting, flowing = lasting[lasting == condition], flowing[:, :, lasting == condition]
        if not lasting.size:
            continue
        current = np.abs(flowing)
        if alternator >= 0:
            delivered = cases.parted(solution.consumer_a[:, alternator])[:, lasting]
            # Its current is on the way of few of them; where no state was found that can be, none is known.
            own = np.ones_like(carries) if np.isnan(bare(delivered)).any() else carries
            on_way, each = current[own], carries[own][:, None, None]
            part = each * delivered
            np.maximum(on_way, np.abs(together("with the alternator delivering", [
                ("loads", flowing[own]), ("alternator, negative", part)])), out=on_way)
            if source.alternator_known:
                rated = each * full[lasting] * np.ones((cases.count, 1))
                np.maximum(on_way, together("a flat battery takes all the alternator is rated for",
                                            [("rated output", rated)]), out=on_way)
            current[own] = on_way
        found[:, interval] = largest(current, 2, f"{INTERVAL_WORDS[interval]} demand in its worst condition",
                                     lambda place, lasting=lasting: names.condition(int(lasting[place]))).T
    # An alternator that delivers more leaves less on a branch; that is no smaller demand.
    return np.maximum.accumulate(found, axis=0) if cases.bounds else found
