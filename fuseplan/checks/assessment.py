"""The assessment of one plan under one set of limits: what every screen, paper, command and test reads."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any

from fuseplan.checks.assumed_supply import Assumption
from fuseplan.checks.assumed_zone import asking_for_zones
from fuseplan.checks.assumptions import assumptions
from fuseplan.checks.causes import together, with_causes
from fuseplan.checks.judged_circuit import JudgedCircuit, Verdict
from fuseplan.checks.loads_not_entered import asking_for_loads
from fuseplan.checks.named_once import with_one_size
from fuseplan.checks.not_said import NotSaid, not_said
from fuseplan.checks.other_voltage import led_by_voltage
from fuseplan.checks.resting import settled
from fuseplan.checks.rule import LEVELS, Finding, Unjudged, all_rules, judge
from fuseplan.checks.unknown import unknown_words
from fuseplan.checks.unlisted import shared_unlisted, unlisted, unlisted_before
from fuseplan.engine.computing import collector_paused, compute
from fuseplan.engine.missing import Lack
from fuseplan.engine.results import Results
from fuseplan.limits import LimitSet, limit_set
from fuseplan.plan.model import Plan
from fuseplan.records import dataclass
from fuseplan.results.condition import ConditionResult
from fuseplan.results.solved_plan import SolvedPlan
from fuseplan.results.supply import EarthResult, FeedResult

if TYPE_CHECKING:
    import pandas as pd

    from fuseplan.results.address import Spot


@dataclass(frozen=True, eq=False)
class Assessment(SolvedPlan):
    """Figures and findings of one plan under one set of limits. Never changes; an edit makes a new one."""

    findings: tuple[Finding, ...]
    unjudged: tuple[Unjudged, ...]
    """Checks that could not be made."""

    @cached_property
    def _by_subject(self) -> dict[tuple[str, str], list[Finding]]:
        found: dict[tuple[str, str], list[Finding]] = defaultdict(list)
        for finding in self.findings:
            found[finding.owner].append(finding)
        return found

    def findings_for(self, kind: str, name: str) -> tuple[Finding, ...]:
        """Findings about one circuit, feed, earth …, the worst first, each with those that follow from it behind it."""
        return tuple(each for each, _ in together(self._by_subject.get((kind, name), ()), self.findings))

    def following(self, listed: Sequence[Finding]) -> tuple[bool, ...]:
        """Which of the findings listed follow from one that stands before them there."""
        return tuple(follows for _, follows in together(listed, self.findings))

    def missing(self, circuit: str) -> tuple[str, ...]:
        """What a circuit lacks for its figures, in words."""
        return tuple(each.words for each in self.lacks(circuit))

    @cached_property
    def _unlisted(self) -> dict[tuple[str, str], tuple[str, ...]]:
        return unlisted(self.results)

    @cached_property
    def _shared_unlisted(self) -> dict[tuple[str, str], tuple[str, ...]]:
        return shared_unlisted(self.results)

    def unlisted(self, circuit: str) -> tuple[str, ...]:
        """What the set of limits has nothing on file for, in words; nothing else is then known to be safe."""
        return self._unlisted.get(("circuit", circuit), ())

    def unlisted_with_ways(self, circuit: str) -> tuple[str, ...]:
        """The same, with the wires of the feeds and earth points on its ways."""
        before = unlisted_before(self.plan, self._shared_unlisted, circuit) if self._shared_unlisted else ()
        return (*self.unlisted(circuit), *before)

    @cached_property
    def _unjudged(self) -> dict[tuple[str, str], tuple[Unjudged, ...]]:
        found: dict[tuple[str, str], list[Unjudged]] = defaultdict(list)
        for each in self.unjudged:
            found[each.owner].append(each)
        return {subject: tuple(members) for subject, members in found.items()}

    def unknown(self, circuit: str) -> tuple[str, ...]:
        """What else is not known of what a circuit rests on, in words: limits nothing on file gives, resistances on the
        way to it and back, checks that could not be made."""
        if self.plan.circuit[circuit].out_of_scope is not None:
            return ()
        unjudged = tuple(each for each in self._unjudged.get(("circuit", circuit), ()) if each.safety)
        return unknown_words(self.results, self.circuit_index[circuit], unjudged, self.unlisted_with_ways(circuit))

    @property
    def unchecked(self) -> tuple[Unjudged, ...]:
        """The checks that could not be made and that no verdict tells: those on which no safety rests, and all of a
        connector, which has no verdict."""
        return tuple(each for each in self.unjudged if not each.safety or each.subject_kind == "connector")

    def not_checked(self, kind: str, name: str) -> tuple[str, ...]:
        """The checks that could not be made of one circuit, feed … and on which no safety rests, in words."""
        return tuple(dict.fromkeys(each.words for each in self._unjudged.get((kind, name), ()) if not each.safety))

    @cached_property
    def unknown_feeds(self) -> dict[str, tuple[str, ...]]:
        """What is not known of what a part of a feed may carry, in words, by feed; only feeds of which something is
        not."""
        return {name: words for name in self.plan.feed
                if (words := tuple(each.words for each in self._unjudged.get(("feed", name), ())
                                   if each.check == "feed-overloaded"))}

    def why_unknown(self, circuit: str) -> tuple[str, ...]:
        """All that is not known or not said of what a circuit's safety rests on, beside its own missing figures."""
        return (*self.unknown(circuit),
                *(each.what for each in self.not_said_of("circuit", circuit) if each.safety))

    @cached_property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was taken where the plan is silent."""
        return assumptions(self.results)

    @cached_property
    def not_said(self) -> tuple[NotSaid, ...]:
        """What the plan does not say and a safe answer needs, questions of safety first."""
        return not_said(self.results)

    @cached_property
    def _not_said(self) -> dict[tuple[str, str], list[NotSaid]]:
        found: dict[tuple[str, str], list[NotSaid]] = defaultdict(list)
        for each in self.not_said:
            found[each.owner].append(each)
        return found

    def not_said_of(self, kind: str, name: str) -> tuple[NotSaid, ...]:
        """What is not said of one circuit, feed …, questions of safety first."""
        return tuple(self._not_said.get((kind, name), ()))

    def verdict(self, circuit: str) -> Verdict:
        """The verdict on one circuit: ok only where every figure it rests on is known and all is said that its safety
        rests on. A certain failure stands, whatever else is not known; that something is missing is no failure, and of
        a circuit without a feed it is not known what lies before it."""
        if circuit not in self._verdicts:
            self._verdicts[circuit] = self._verdict(circuit)
        return self._verdicts[circuit]

    @cached_property
    def _verdicts(self) -> dict[str, Verdict]:
        return {}

    def _verdict(self, circuit: str) -> Verdict:
        missing = self.lacks(circuit)
        if self.plan.circuit[circuit].out_of_scope is not None or any(each.lack is Lack.FEED for each in missing):
            return "unknown"
        found = self._by_subject.get(("circuit", circuit), ())
        rules = all_rules()
        if any(not finding.measure and finding.level != "advice" and not (missing and rules[finding.check].lack)
               for finding in found):
            return "fails"
        if missing or any(each.safety for each in self.not_said_of("circuit", circuit)) or self.unknown(circuit):
            return "unknown"
        return "measure" if any(finding.measure for finding in found) else "ok"

    def count(self, level: str) -> int:
        """Number of findings of one level, those that only ask for a measurement left out."""
        return sum(finding.level == level and not finding.measure for finding in self.findings)

    @property
    def measures(self) -> int:
        """Number of findings that only ask for a measurement."""
        return sum(finding.measure for finding in self.findings)

    @property
    def exit_status(self) -> int:
        """0 where nothing is above advice, 1 otherwise."""
        return int(any(finding.level in LEVELS[:2] for finding in self.findings))

    def circuit(self, name: str) -> JudgedCircuit:
        """Figures and verdict of one circuit; KeyError where it does not exist."""
        return JudgedCircuit(self, self.circuit_index[name])

    @property
    def circuits(self) -> Iterator[JudgedCircuit]:
        """Figures and verdicts of all circuits, in the order of the plan."""
        return (JudgedCircuit(self, index) for index in self.circuit_index.values())

    @property
    def conditions(self) -> Iterator[ConditionResult]:
        """Bus voltage, demand, output and battery current of every condition."""
        return (ConditionResult(self, index) for index in range(len(self.results.network.conditions)))

    @property
    def feeds(self) -> Iterator[FeedResult]:
        """Figures of all feeds, from the root outwards."""
        return (FeedResult(self, name) for name in self.results.network.feed_ids if name)

    @property
    def earths(self) -> Iterator[EarthResult]:
        """Figures of all earth points, from the root outwards."""
        return (EarthResult(self, name) for name in self.results.network.earth_ids if name)

    @property
    def whole(self) -> Spot:
        """The whole result: where its figures are found by their addresses."""
        from fuseplan.checks.result_document import ResultDocument
        from fuseplan.results.address import root

        return root(ResultDocument(self))

    def to_dict(self) -> dict[str, Any]:
        """The result document: stable keys, SI units in their names, None for what is not known."""
        from fuseplan.results.document import to_document

        found: dict[str, Any] = to_document(self.whole.part)
        return found

    def circuits_frame(self) -> pd.DataFrame:
        """One row a circuit, as a pandas frame."""
        from fuseplan.checks.frames import circuits_frame

        return circuits_frame(self)

    def segments_frame(self) -> pd.DataFrame:
        """One row a segment, as a pandas frame."""
        from fuseplan.checks.frames import segments_frame

        return segments_frame(self)

    def not_said_frame(self) -> pd.DataFrame:
        """One row for each thing the plan does not say, as a pandas frame."""
        from fuseplan.checks.frames import not_said_frame

        return not_said_frame(self)

    def findings_frame(self) -> pd.DataFrame:
        """One row a finding, as a pandas frame."""
        from fuseplan.checks.frames import findings_frame

        return findings_frame(self)


def assess(plan: Plan, by: str | LimitSet | None = None, after: Assessment | None = None) -> Assessment:
    """Assess a plan.

    Args:
        by: a shipped set of limits by name, or a set already read, such as the user's own; the plan's own where left
            out
        after: of a plan of which this one is an edit. What comes out is the same; it is there sooner
    Raises:
        LimitsError: The set of limits is not on file.
    """
    chosen = by if isinstance(by, LimitSet) else limit_set(by or plan.vehicle.limits)
    with collector_paused():
        results = compute(plan, chosen, None if after is None else after.results.network)
        found, unjudged = judge(results)
        named = with_one_size(results, found, _weighed(results, found), settled)
        findings, led = led_by_voltage(results, named, lambda other: _weighed(other, judge(other)[0]))
        return Assessment(results, with_causes(findings, led), unjudged)


def _weighed(results: Results, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, those that rest on what is assumed turned into questions."""
    return settled(results, asking_for_zones(results, asking_for_loads(results, findings)))
