"""What the circuits table shows and in which order, and walking from finding to finding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.widgets import DataTable

from fuseplan.papers.columns import COLUMNS
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.dialogs import Answer, Choose, ask_filter
from fuseplan.tui.widgets.circuits_table import CircuitsTable
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.workspace import findings


class CircuitsListing(PlanScreen[None]):
    """The part of the circuits screen that looks for something."""

    if TYPE_CHECKING:
        def show_new(self, circuit: str) -> None: ...

    @on(DataTable.HeaderSelected)
    def _heading(self, event: DataTable.HeaderSelected) -> None:
        self.session.listing.sort_by(str(event.column_key.value))
        self.refresh_plan()

    def action_filter(self) -> None:
        before, table = self.session.listing.text, self.query_one(CircuitsTable)
        here = table.circuit

        def narrow(text: str) -> None:
            self.session.listing.text = text
            self.refresh_plan()

        ask_filter(self.program, before, "Circuits that hold all of these words somewhere: name, feed, load, verdict …",
                   narrow, lambda: None if here is None else table.go_to(here))

    def action_sort(self) -> None:
        answers = [Answer("", "the order of the plan")]
        answers += [Answer(column.key, column.heading) for column in COLUMNS]

        def by(key: str) -> None:
            listing = self.session.listing
            listing.sort, listing.descending = key or None, False if listing.sort != key else not listing.descending
            self.refresh_plan()

        self.program.ask(Choose("Sort by", answers, "The same column again turns the order round",
                                self.session.listing.sort or ""), by)

    def action_show_all(self) -> None:
        self.session.listing.text, self.session.listing.sort = "", None
        self.refresh_plan()

    @on(FindingsList.Chosen)
    def _finding(self, event: FindingsList.Chosen) -> None:
        self.program.open_field(*findings.field_of(self.session, event.finding))

    def action_next_finding(self) -> None:
        self._next(1)

    def action_previous_finding(self) -> None:
        self._next(-1)

    def _next(self, by: int) -> None:
        found = findings.following(self.session, self.program.finding, by)
        if found is None:
            self.say("No faults found in this plan")
            return
        self.program.finding = found
        if found.subject_kind == "circuit":
            self.show_new(found.subject)
            self.query_one(FindingsList).go_to(found)
        else:
            self.program.show_finding(found)

    def action_go_to_field(self) -> None:
        found = self.query_one(FindingsList).finding
        circuit = self.query_one(CircuitsTable).circuit
        asked = () if circuit is None else self.session.assessment.not_said_of("circuit", circuit)
        where = found or next(iter(asked), None)
        if where is None:
            self.say("No faults found in this circuit, and nothing is asked about it; n goes to the next finding")
        else:
            self.program.open_field(*findings.field_of(self.session, where))
