"""The result document that ``fuseplan check --json`` prints: figures, assumptions and findings of one assessment."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.assumed_supply import Assumption
from fuseplan.checks.finding_figures import addressed
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import Finding, Unjudged
from fuseplan.results.condition import ConditionResult
from fuseplan.results.heading import Document
from fuseplan.results.part import entry, part
from fuseplan.results.power import PowerResult
from fuseplan.results.supply import EarthResult, FeedResult


class ResultDocument(Document):
    """What ``fuseplan check --json`` prints. Keys end in their SI unit; null stands for what is not known."""

    solved: Assessment

    @part("alternator and battery in each condition")
    def conditions(self) -> tuple[ConditionResult, ...]:
        return tuple(self.solved.conditions)

    @part("circuits, in the order of the plan")
    def circuits(self) -> tuple[JudgedCircuit, ...]:
        return tuple(self.solved.circuits)

    @part("feeds, from the battery outwards")
    def feeds(self) -> tuple[FeedResult, ...]:
        return tuple(self.solved.feeds)

    @part("earth points, from the battery outwards")
    def earths(self) -> tuple[EarthResult, ...]:
        return tuple(self.solved.earths)

    @part("battery and alternator")
    def power(self) -> PowerResult:
        return PowerResult(self.solved)

    @entry("what was assumed where the plan states nothing")
    def assumptions(self) -> tuple[Assumption, ...]:
        return self.solved.assumptions

    @entry("what the plan does not say and a safe answer needs, questions of safety first")
    def not_said(self) -> tuple[NotSaid, ...]:
        return self.solved.not_said

    @entry("checks that could not be made")
    def unjudged(self) -> tuple[Unjudged, ...]:
        return self.solved.unjudged

    @entry("checks that did not pass, the worst first")
    def findings(self) -> tuple[Finding, ...]:
        whole = self.solved.whole
        return tuple(addressed(whole, each) for each in self.solved.findings)
