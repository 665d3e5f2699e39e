"""The checks that a current can flip, as figures over their limits for many samples at once.

A ratio above 1 fails. The limits are those of the checks themselves; the tests hold the ratios of the entered plan
against the findings on it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.feed_limits import feed_limits
from fuseplan.checks.overload import final_temperature, heats_briefly
from fuseplan.checks.rule import ROUNDING
from fuseplan.checks.rules.low_lamp_voltage import design_voltages, judged_lamps, running_volts
from fuseplan.checks.rules.relay_overloaded import asked_a, contacts
from fuseplan.checks.rules.switch_overloaded import switches
from fuseplan.checks.rules.voltage_drop import return_share, supply_share
from fuseplan.checks.subjects import current_known
from fuseplan.engine.fusing import load_side
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN
from fuseplan.engine.ratios import ratio
from fuseplan.engine.relays import ADVISED_A
from fuseplan.engine.results import Results
from fuseplan.engine.sampling import Sampled, Sampler
from fuseplan.engine.states import STATE_INDEX
from fuseplan.records import dataclass

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

OWNER_CHECKS = {"circuit": "wire-overloaded", "alternator": "wire-overloaded", "feed": "feed-overloaded",
                "earth": "earth-strap-overloaded"}


class Judged(NamedTuple):
    """One verdict: a check on a subject. The subject of ``discharge-while-running`` is a condition."""

    check: str
    kind: str
    subject: str


class SampleVerdicts:
    """The verdicts of a plan, ready to be asked of many samples."""

    def __init__(self, assessment: Assessment) -> None:
        self.results = assessment.results
        self._sampler = Sampler(assessment.results)
        self.at_once = self._sampler.at_once
        """How many samples to ask for at once."""
        self._limits = _Limits.of(assessment.results)
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
        columns = np.concatenate(self._figures(self._sampler.of(reference_a)), axis=1)
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

    def _figures(self, sampled: Sampled) -> list[Floats]:
        results, network, limits = self.results, self.results.network, self._limits
        demands, drops = sampled.demands, sampled.drops
        _, low = load_side(network, demands.supply[..., network.fuse_node])
        brief = np.where(heats_briefly(results, demands),
                         final_temperature(results, demands) / network.segments.max_c, np.nan)
        across = np.full_like(drops.total_v, np.nan)
        across[:, limits.lamps] = np.maximum(running_volts(network, sampled.running, drops, limits.lamps), 0.0)
        asked = np.where(limits.unrated, sampled.switching.load_a, sampled.switching.switch_a)
        at_feed = np.maximum(demands.supply[:, FIVE_MIN], demands.supply[:, CONTINUOUS])
        feeds = [at_feed[:, network.feed_node[name]] / limit for name, limit in self._feed_limits]
        return [
            low / results.fusing.rating_a, ratio(demands.lasting, results.segment_limit_a), brief,
            supply_share(results, drops), return_share(results, drops),
            ratio(limits.lamp_v, across), asked / limits.switch_a, asked_a(demands) / limits.contact_a,
            np.stack(feeds, axis=1) if feeds else np.zeros((len(low), 0)),
            ratio(sampled.average_a, limits.gives_a), sampled.continuous_a / limits.share_a,
        ]


@dataclass(frozen=True)
class _Limits:
    """What the checks hold the figures against; NaN where nothing limits."""

    lamp_v: Floats
    """Of lamps by consumer (L,) [V]."""
    lamps: Ints
    """The lamps that are judged."""
    switch_a: Floats
    contact_a: Floats
    """Of switches and contacts by circuit [A]."""
    unrated: Flags
    """Circuits with a switch of unknown rating."""
    gives_a: Floats
    share_a: Floats
    """What the alternator gives, and what of it for long, in each condition [A]."""

    @classmethod
    def of(cls, results: Results) -> _Limits:
        network, limit_set, known = results.network, results.limit_set, current_known(results)
        lamp, contact = np.full(network.consumers.count, np.nan), np.full(len(network.circuits), np.nan)
        lamps = judged_lamps(results)
        if limit_set.drop.lamp_share is not None:
            lamp[lamps] = limit_set.drop.lamp_share * design_voltages(results, lamps)
        for number, fitted in contacts(results).items():
            contact[number] = fitted.carries_a
        rating, unrated = switches(results)
        source = results.source
        running = (network.state == STATE_INDEX["running"]) & source.alternator_known
        return cls(
            lamp, lamps,
            np.where(known, np.where(unrated, ADVISED_A, rating), np.nan), np.where(known, contact, np.nan), unrated,
            np.where(running, source.available_a, np.nan),
            np.where(running, limit_set.alternator.continuous_share * source.rated_a, np.nan))
