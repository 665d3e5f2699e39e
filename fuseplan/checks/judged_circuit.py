"""A circuit's figures with the verdict on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from fuseplan.plan.roles import proposed_role
from fuseplan.plan.words import CircuitRole
from fuseplan.results.circuit import CircuitResult
from fuseplan.results.part import entry

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment
    from fuseplan.checks.assumed_supply import Assumption
    from fuseplan.checks.not_said import NotSaid
    from fuseplan.checks.rule import Finding

Verdict = Literal["ok", "measure", "fails", "unknown"]


class JudgedCircuit(CircuitResult):
    """One circuit."""

    solved: Assessment

    @property
    def assessment(self) -> Assessment:
        """The assessment it belongs to."""
        return self.solved

    @entry("the verdict; measure where it passes as entered and fails with a current at its worst case")
    def verdict(self) -> Verdict:
        return self.solved.verdict(self.id)

    @entry("what else is not known of what it rests on")
    def unknown(self) -> tuple[str, ...]:
        return self.solved.unknown(self.id)

    @entry("checks that could not be made of it and on which no safety rests")
    def not_checked(self) -> tuple[str, ...]:
        return self.solved.not_checked("circuit", self.id)

    @entry("what the plan does not say about it and a safe answer needs")
    def not_said(self) -> tuple[str, ...]:
        return tuple(each.what for each in self.questions)

    @entry("the role proposed from its name, where none is stated")
    def role_proposed(self) -> CircuitRole | None:
        return None if self.circuit.role is not None or self.circuit.out_of_scope is not None else \
            proposed_role(self.id, self.circuit)

    @property
    def questions(self) -> tuple[NotSaid, ...]:
        """The same with why it matters and where it is said."""
        return self.solved.not_said_of("circuit", self.id)

    @property
    def why_unknown(self) -> tuple[str, ...]:
        """What is not known, and what is not said that its safety rests on."""
        return self.solved.why_unknown(self.id)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it has no verdict, what is not said left out: that it is out of scope, else what is not known."""
        scope = self.circuit.out_of_scope
        return (*self.missing, *self.unknown) if scope is None else (f"out of scope: {scope.replace('_', ' ')}",)

    @property
    def assumed(self) -> tuple[Assumption, ...]:
        """What was taken of its own parts where the plan is silent."""
        return tuple(each for each in self.solved.assumptions
                     if each.subject_kind == "circuit" and each.subject == self.id)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Findings about it, the worst first."""
        return self.solved.findings_for("circuit", self.id)
