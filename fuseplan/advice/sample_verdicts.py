"""The checks that a current can flip, as figures over their limits for many samples at once.

A ratio above 1 fails. The limits are those of the checks themselves; the tests hold the ratios of the entered plan
against the findings on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.advice.sample_demand import SampleDemand, SampleDemands
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.feed_limits import feed_limits
from fuseplan.checks.overload import MOMENTARY_S, steady_before
from fuseplan.checks.rule import ROUNDING
from fuseplan.checks.subjects import current_known, drop_known
from fuseplan.engine.consumers import INTERMITTENT, LOAD
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.power import still_a
from fuseplan.engine.ratios import heated_c, ratio
from fuseplan.engine.relays import ADVISED_A, contact_in_place, factor
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.formulas.fuse import smallest_fuse
from fuseplan.tables import relays as relay_tables
from fuseplan.tables.load import table

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

OWNER_CHECKS = {"circuit": "wire-overloaded", "alternator": "wire-overloaded", "feed": "feed-overloaded",
                "earth": "earth-strap-overloaded"}


class Judged(NamedTuple):
    """One verdict: a check on a subject. The subject of ``discharge-while-running`` is a condition."""

    check: str
    kind: str
    subject: str


@dataclass(frozen=True)
class _Limits:
    """Limits of drops and lamps per consumer, of contacts and switches per circuit; NaN where none holds."""

    supply_v: Floats
    return_v: Floats
    whole: bool
    lamp_v: Floats
    switch_a: Floats
    contact_a: Floats


class SampleVerdicts:
    """The verdicts of a plan, ready to be asked of many samples."""

    def __init__(self, assessment: Assessment) -> None:
        self.results = assessment.results
        self.demands = SampleDemands(assessment.results)
        self._limits = _limits(assessment.results)
        self._feed_limits = [(each.feed, each.limit_a) for each in feed_limits(assessment.results)]
        self._columns = self._subjects()
        self.judged = tuple(dict.fromkeys(self._columns))
        number = {each: place for place, each in enumerate(self.judged)}
        place = np.array([number[each] for each in self._columns], dtype=np.int64)
        self._order = np.argsort(place, kind="stable")
        self._first = np.searchsorted(place[self._order], np.arange(len(self.judged)))

    def ratios(self, reference_a: Floats) -> Floats:
        """Figure over limit of each of `judged`, the worst part of its subject.

        Parameters
        ----------
        reference_a : array (n, L)
            Reference current of every consumer [A].

        Returns
        -------
        array (n, V); -inf where nothing limits it
        """
        columns = np.concatenate(self._figures(self.demands.of(reference_a)), axis=1)
        columns = np.where(np.isnan(columns), -np.inf, columns)[:, self._order]
        return np.asarray(np.maximum.reduceat(columns, self._first, axis=1)) if len(self.judged) else columns

    @staticmethod
    def fails(ratios: Floats) -> Flags:
        """Where a ratio is past its limit."""
        return np.asarray(ratios > 1.0 + ROUNDING)

    def _subjects(self) -> list[Judged]:
        """What each column of the figures is about, in the order of `_figures`."""
        network = self.results.network
        circuit = [Judged("", "circuit", name) for name in network.circuit_ids]
        owners = [Judged(OWNER_CHECKS[kind], kind, name or kind) for kind, name in network.segments.owner]
        by_consumer = [circuit[number] if number >= 0 else Judged("", "plan", "plan")
                       for number in network.consumers.circuit.tolist()]
        return [
            *(Judged("fuse-too-small", row.owner[0], row.owner[1] or row.owner[0]) for row in network.fuses),
            *owners, *owners,
            *(each._replace(check="voltage-drop") for each in by_consumer * 2),
            *(each._replace(check="low-lamp-voltage") for each in by_consumer),
            *(each._replace(check="switch-overloaded") for each in circuit),
            *(each._replace(check="relay-overloaded") for each in circuit),
            *(Judged("feed-overloaded", "feed", name) for name, _ in self._feed_limits),
            *(Judged("discharge-while-running", "condition", name) for name in network.condition_ids),
            *(Judged("alternator-too-small", "alternator", "alternator") for _ in network.condition_ids),
        ]

    def _figures(self, demand: SampleDemand) -> list[Floats]:
        results, network, limits = self.results, self.results.network, self._limits
        limit_set, fusing, segments = results.limit_set, results.fusing, results.network.segments
        through = demand.supply[..., network.fuse_node]
        low = np.maximum(
            smallest_fuse(through[:, CONTINUOUS], limit_set.fuse.continuous_share, fusing.ambient_k),
            smallest_fuse(np.maximum(through[:, FIVE_MIN], through[:, FIVE_S]), limit_set.fuse.intermittent_share,
                          fusing.ambient_k))
        both = np.concatenate([demand.supply, demand.returns], axis=2)[..., network.segment_column]
        lasting = np.maximum(both[:, FIVE_MIN], both[:, CONTINUOUS])
        ampacity = results.segment_limit_a
        steady = steady_before(segments, lasting, ampacity)
        end = heated_c(steady, both[:, FIVE_S]**2 * MOMENTARY_S, segments.area_mm2)
        brief = np.where(np.isfinite(ampacity) & (both[:, FIVE_S] > ampacity),
                         end / segments.max_c, np.nan)
        circuit = demand.supply[..., network.circuit_node]
        short = relay_tables.short_time_multiple(MOMENTARY_S).value
        asked = np.maximum(np.maximum(circuit[:, FIVE_MIN], circuit[:, CONTINUOUS]), circuit[:, FIVE_S] / short)
        at_feed = np.maximum(demand.supply[:, FIVE_MIN], demand.supply[:, CONTINUOUS])
        feeds = [at_feed[:, network.feed_node[name]] / limit for name, limit in self._feed_limits]
        running = network.state == STATE_INDEX["running"]
        known = results.source.alternator_known
        gives = np.where(running & known, results.source.available_a, np.nan)
        # As in the balance itself: where the machine just carries everything, what the solver leaves is no deficit.
        average = np.where(np.abs(demand.average_a - gives) < still_a(gives), gives, demand.average_a)
        share = np.where(running & known, limit_set.alternator.continuous_share * results.source.rated_a, np.nan)
        return [
            low / fusing.rating_a, ratio(lasting, ampacity), brief,
            (demand.total_v if limits.whole else demand.supply_v) / limits.supply_v, demand.return_v / limits.return_v,
            ratio(limits.lamp_v, np.maximum(demand.running_v, 0.0)), self._switch(demand) / limits.switch_a,
            asked / limits.contact_a,
            np.stack(feeds, axis=1) if feeds else np.zeros((len(low), 0)),
            ratio(average, gives), demand.continuous_a / share,
        ]

    def _switch(self, demand: SampleDemand) -> Floats:
        """Rating a plain switch would need (n, circuits), or the load itself where its rating is unknown."""
        network = self.results.network
        consumers = network.consumers
        members = np.flatnonzero(consumers.kind == LOAD)
        unrated = np.array([circuit.switch is not None and circuit.switch.rating is None
                            for circuit in network.circuits], dtype=bool)
        factors = np.array([factor(consumers.load_kind[member], network.system_v) for member in members.tolist()])
        weighed = demand.load[:, FIVE_S, members] * factors
        matrix = np.zeros((len(members), len(network.circuits)))
        matrix[np.arange(len(members)), consumers.circuit[members]] = 1.0
        plain = demand.supply[:, FIVE_S][:, network.circuit_node]
        return np.where(unrated, plain, weighed @ matrix)


def _limits(results: Results) -> _Limits:
    network, limit_set = results.network, results.limit_set
    consumers, system_v = network.consumers, network.system_v
    supply, back, lamp = (np.full(consumers.count, np.nan) for _ in range(3))
    circuits = len(network.circuits)
    switch, carried = np.full(circuits, np.nan), np.full(circuits, np.nan)
    judged, known = drop_known(results), current_known(results)
    starter = table("starter_tester_drops").cited("side", "return", "drop_v")
    for index in np.flatnonzero(consumers.kind == LOAD).tolist():
        number = int(consumers.circuit[index])
        if not judged[number]:
            continue
        circuit = network.circuits[number]
        load = circuit.load[int(consumers.number[index])]
        if circuit.drop_class is not None:
            use = "intermittent" if consumers.use[index] >= INTERMITTENT else "continuous"
            found = limit_set.drop_limit(circuit.drop_class, system_v, use)
            supply[index] = np.nan if found is None else found.value
        if not limit_set.drop_covers_return and limit_set.drop.return_limit_v is not None:
            own = starter.value if starter is not None and circuit.drop_class == "starter_main" else \
                limit_set.drop.return_limit_v
            back[index] = own * system_v / 12.0
        if limit_set.drop.lamp_share is not None and index in consumers.lamps:
            lamp[index] = limit_set.drop.lamp_share * float(load.design_voltage or load.at or system_v)
    for number, circuit in enumerate(network.circuits):
        if not known[number] or circuit.out_of_scope is not None:
            continue
        if circuit.relay is not None:
            carried[number] = contact_in_place(network, ("circuit", network.circuit_ids[number]),
                                               circuit.relay).carries_a
        elif circuit.switch is not None:
            switch[number] = ADVISED_A if circuit.switch.rating is None else float(circuit.switch.rating)
    return _Limits(supply, back, limit_set.drop_covers_return, lamp, switch, carried)
