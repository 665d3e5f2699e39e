"""A proposal: its changes with the checks that force them, what collides, what is left; taken one by one or all."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import Worker, get_current_worker

from fuseplan.advice import Change, Collision, Proposal
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.papers.propose_text import CAUTION, summary_words
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import PlanScreen, background
from fuseplan.tui.screens.proposal_lines import Item, texts
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.tui.widgets.reading_list import ReadingList
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line, lines
from fuseplan.workspace import proposals
from fuseplan.workspace.findings import field_of


class _Stopped(Exception):
    """The work on a proposal was stopped."""


class ProposalScreen(PlanScreen[None]):
    """For one circuit, or for the whole plan."""

    WHERE = "proposal"
    FOCUSED = OptionList
    BINDINGS = bindings("proposal", "main")
    CSS = """
    ProposalScreen OptionList { height: 1fr; border: none; background: $background; }
    ProposalScreen OptionList > .option-list--option-highlighted { background: $panel; color: $foreground;
        text-style: none; }
    ProposalScreen OptionList > .option-list--option-disabled { color: $foreground; }
    ProposalScreen #foot { max-height: 6; padding: 0 1; border-top: solid $primary 50%; }
    """

    def __init__(self, circuit: str | None) -> None:
        super().__init__()
        self.circuit = circuit
        self.proposal: Proposal | None = None
        self._items: list[Item | None] = []
        self._known: list[Plan] = []
        """The plan proposed for, and what it became by changes taken from here: on these the proposal holds."""

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ProgressLine()
        yield ReadingList(markup=False)
        yield Words(own_id="foot")

    def begin(self) -> None:
        super().begin()
        self.action_again()

    @property
    def item(self) -> Item | None:
        """The change, collision or finding under the cursor."""
        return self.at_cursor(self._items)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        item = self.item
        if item is None:
            return None if self.circuit is None else ("circuit", self.circuit)
        if isinstance(item, Change):
            return ("alternator", "alternator") if item.path[0] == "alternator" else (str(item.path[0]), item.subject)
        return item.owner

    def show_plan(self) -> None:
        super().show_plan()
        self._show()

    def action_again(self) -> None:
        """Propose for the plan as it is now."""
        self.hush()
        self.proposal, self._known = None, [self.session.plan]
        self.query_one(ProgressLine).say("Proposing")
        self._propose(self.session.assessment)
        self._show()

    @background("proposal")
    def _propose(self, assessment: Assessment) -> None:
        worker, progress_line = get_current_worker(), self.query_one(ProgressLine)

        def progress(number: int, changes: int) -> None:
            if worker.is_cancelled:
                raise _Stopped
            progress_line.tell(worker, f"Proposing, round {number}: {writing.counted(changes, 'change')}")

        try:
            found = proposals.propose_for(assessment, self.circuit, progress)
        except _Stopped:
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._have, found, worker)

    def _have(self, found: Proposal, worker: Worker[None]) -> None:
        if worker.is_cancelled:
            return
        self.query_one(ProgressLine).done()
        self.proposal = found
        self._show()
        self.query_one(OptionList).highlighted = next((at for at, each in enumerate(self._items) if each), None)

    def _show(self) -> None:
        found, limits = self.proposal, self.session.assessment.limit_set.name
        name = "the whole plan" if self.circuit is None else title_of(self.session.plan, "circuit", self.circuit)
        head: list[str | tuple[str, str]] = [("Proposal for ", "bold"), (name, "bold"),
                                             (f"   {limits} limits", QUIET_STYLE)]
        if found is not None and self.session.plan not in self._known:
            head = [("! The plan has changed since. r proposes anew. ", "bold $text-warning"), name]
        self.query_one("#subject", Static).update(line(*head))
        listed, here = self.query_one(OptionList), self.query_one(OptionList).highlighted
        self._items, options = [], []
        for item, content in [] if found is None else texts(self.session, found):
            self._items.append(item)
            options.append(Option(content, disabled=item is None))
        listed.set_options(options)
        if here is not None and here < len(options):
            listed.highlighted = here
        foot = [] if found is None else [line((summary_words(found, self.session.assessment), "bold"))]
        self.query_one("#foot", Words).update(lines(*foot, line(("⚠ ", CAUTION_STYLE), CAUTION)))

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_take()

    def action_take(self) -> None:
        """Take the change under the cursor; from a collision or finding, go to where it is fixed."""
        item = self.item
        if isinstance(item, Finding):
            self.program.open_field(*field_of(self.session, item))
        elif isinstance(item, Collision):
            kind = item.subject_kind
            self.program.open_form((kind,) if kind in ("alternator", "battery") else
                                   ("vehicle",) if kind == "plan" else (kind, item.subject))
        elif item is not None and self.proposal is not None:
            if proposals.is_taken(self.session, item):
                self.say("That is in the plan already; u takes it back")
                return
            waiting = proposals.open_changes(self.session, self.proposal)
            self._take(proposals.with_needed(waiting, item))

    def action_take_all(self) -> None:
        """Take all changes in one step."""
        changes = [] if self.proposal is None else proposals.open_changes(self.session, self.proposal)
        if not changes:
            self.say("There is no change left to take")
        else:
            self._take(changes)

    def _take(self, changes: list[Change]) -> None:
        if self.session.plan not in self._known:
            self.say("The plan has changed since this was worked out: r proposes anew")
            return
        done = f"Taken: {writing.counted(len(changes), 'change')}; u takes back"
        if self.program.attempt(lambda: proposals.take(self.session, changes), done):
            self._known.append(self.session.plan)
            self.refresh_plan()

    def action_close(self) -> None:
        if self.stop("proposal"):
            self.say("Stopped; r proposes again, Esc goes back")
        else:
            self.dismiss(None)
