"""What a form offers for the field under its cursor: the value with which every check passes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.worker import get_current_worker

from fuseplan.advice import Change, Proposal
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.propose_text import CAUTION, nothing_words
from fuseplan.papers.proposed_changes import new_words, now_words, part_words
from fuseplan.plan.references import Path, place
from fuseplan.quantities import writing
from fuseplan.tui.screens.base import PlanScreen, background
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.workspace import proposals

if TYPE_CHECKING:
    from fuseplan.workspace.rows import Row


class _Stopped(Exception):
    """The form was left before the proposal was there."""


class FieldProposal(PlanScreen[None]):
    """The action of a form that proposes; the form itself says which row the cursor is on."""

    root: Path

    if TYPE_CHECKING:
        @property
        def row(self) -> Row: ...

    def action_propose_field(self) -> None:
        """Work out what to fit in this part, and offer what concerns the field under the cursor."""
        self.leave_field()
        self.say("Proposing …")
        circuit = str(self.root[1]) if self.root[0] == "circuit" and self.session.has(self.root) else None
        self._propose_field(self.session.assessment, circuit, self.row.path)

    @background("proposal")
    def _propose_field(self, assessment: Assessment, circuit: str | None, path: Path) -> None:
        worker = get_current_worker()

        def progress(number: int, changes: int) -> None:
            if worker.is_cancelled:
                raise _Stopped

        try:
            found = proposals.propose_for(assessment, circuit, progress, look_for_savings=False)
        except _Stopped:
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._offer, assessment, found, path)

    def _offer(self, assessment: Assessment, found: Proposal, path: Path) -> None:
        if self.session.assessment is not assessment or self.app.screen is not self:
            self.say("The plan has changed meanwhile: ask again")
            return
        self.hush()
        here = [change for change in proposals.open_changes(self.session, found)
                if change.path[: len(self.root)] == self.root]
        change = next((each for each in here if each.path == path), None)
        if not here:
            self.say(self._silence(found))
            return
        words = f"{change.check}: {change.why}. ⚠ {CAUTION}" if change is not None else \
            f"Nothing is proposed for the field under the cursor, but for others of {place(self.root)}. ⚠ {CAUTION}"
        answers = [Answer("field", f"Take {new_words(change)}", f"now {now_words(change)}")] if change else []
        if change is None or len(here) > 1:
            listed = "; ".join(f"{part_words(each)}: {new_words(each)}" for each in here)
            answers.append(Answer("all", f"Take {'all ' if len(here) > 1 else ''}{len(here)} of this part", listed))
        answers.append(Answer("none", "Leave it as it is"))

        def act(answer: str | None) -> None:
            if answer == "field" and change is not None:
                self._take_changes(proposals.with_needed(here, change))
            elif answer == "all":
                self._take_changes(here)

        self.app.push_screen(Choose("Proposed", answers, words), act)

    def _silence(self, found: Proposal) -> str:
        """Why nothing is offered: everything fits, or limits collide."""
        kind, name = self.under_cursor or ("", "")
        for each in found.collisions:
            if each.owner == (kind, name):
                return (f"Nothing can be proposed: {each.check} against {each.against}. {each.words}. "
                        f"Fix: {each.fix}")
        if kind == "circuit" and (unknown := dict(found.not_judged).get(name)):
            return f"Nothing can be proposed for {place(self.root)}: not known: {'; '.join(unknown)}"
        return f"Nothing is proposed for {place(self.root)}. {nothing_words(found)}"

    def _take_changes(self, changes: list[Change]) -> None:
        self.program.attempt(lambda: proposals.take(self.session, changes),
                             f"Taken: {writing.counted(len(changes), 'change')}; Ctrl+Z takes back")
        self.refresh_plan()
