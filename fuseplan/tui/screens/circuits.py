"""The circuits: the table, in an order and narrowed, the fuse range and the findings of the circuit under the cursor,
and walking from finding to finding."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import DataTable, Static

from fuseplan.checks.rule import Finding
from fuseplan.papers.assumption_text import assumption_words
from fuseplan.papers.columns import COLUMNS
from fuseplan.papers.findings import fixes_words
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.confirm_roles import ConfirmRoles
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose, ask_filter
from fuseplan.tui.widgets.circuits_table import CircuitsTable
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.tui.widgets.fuse_range_bar import FuseRangeBar
from fuseplan.tui.words import circuit_line, line
from fuseplan.workspace import circuits, findings


class CircuitsScreen(ConfirmRoles):
    """Screen 1."""

    WHERE = "circuits"
    FOCUSED = CircuitsTable
    GO = "go_circuits"
    BINDINGS = bindings("circuits", "main")
    CSS = """
    CircuitsScreen #listing { height: 1; padding: 0 1; color: $text-accent; display: none; }
    CircuitsScreen #subject { height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
    CircuitsScreen CircuitsTable { padding: 0 1; }
    CircuitsScreen FindingsList { height: 35%; max-height: 15; }
    CircuitsScreen #empty { height: 1fr; padding: 1 2; display: none; }
    """

    def parts(self) -> ComposeResult:
        yield Static("", id="listing", markup=False)
        yield CircuitsTable()
        yield Static("", id="empty", markup=False)
        yield Static("", id="subject", markup=False)
        yield FuseRangeBar()
        yield FindingsList()

    @property
    def table(self) -> CircuitsTable:
        """The table of circuits."""
        return self.query_one(CircuitsTable)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        return None if self.table.circuit is None else ("circuit", self.table.circuit)

    @property
    def finding_under_cursor(self) -> Finding | None:
        found = self.query_one(FindingsList)
        return found.finding if found.has_focus or found.finding == self.program.finding else None

    def show_plan(self) -> None:
        super().show_plan()
        self.table.show(self.session)
        listing = self.query_one("#listing", Static)
        words = self.session.listing.words
        listing.display = bool(words)
        shown, there = self.table.row_count, len(self.session.plan.circuit)
        listing.update(line(f"{words}: {shown} of {there} circuits; x shows all"))
        empty = self.query_one("#empty", Static)
        empty.display = not self.table.row_count
        # Without a circuit there is nothing to say below: in a low window the words need the room.
        for each in (self.table, *self.query("#subject, FuseRangeBar, FindingsList")):
            each.display = bool(self.table.row_count)
        empty.update(line("No circuit holds all of these words. x shows all circuits again." if words else
                          "No circuits yet. a adds one from the library, with the feeds, earth points and zones it "
                          "needs; A adds an empty one."))
        self.show_circuit()

    def show_circuit(self) -> None:
        """Show figures and findings of the circuit under the cursor."""
        session, name = self.session, self.table.circuit
        subject = self.query_one("#subject", Static)
        if name is None or name not in session.plan.circuit:
            subject.update(line(""))
            self.query_one(FuseRangeBar).show(None)
            self.query_one(FindingsList).show()
            return
        view = session.assessment.circuit(name)
        subject.update(circuit_line(view), layout=False)
        self.query_one(FuseRangeBar).show(view)
        self.query_one(FindingsList).show(view.findings, fixes_words(view.findings, session.assessment),
                                          view.circuit.caution, view.circuit.note, view.missing,
                                          session.assessment.limit_set.name, unknown=view.unknown, asked=view.questions,
                                          assumed=tuple(dict.fromkeys(map(assumption_words, view.assumed))),
                                          following=session.assessment.following(view.findings),
                                          not_checked=view.not_checked)

    def show_fault(self) -> None:
        self.query_one("#subject", Static).update(self.fault_line)
        self.query_one(FuseRangeBar).show(None)
        self.query_one(FindingsList).show()

    @on(DataTable.RowHighlighted)
    def _moved(self) -> None:
        self.work_out(self.show_circuit)

    @on(DataTable.RowSelected)
    def _selected(self) -> None:
        self.action_edit()

    @property
    def has_target(self) -> bool:
        return self.table.circuit is not None

    def action_edit(self) -> None:
        if self.table.circuit is not None:
            self.program.open_form(("circuit", self.table.circuit))

    def action_add(self) -> None:
        self.program.open_library(self.table.circuit)

    def action_add_empty(self) -> None:
        def add(name: str) -> None:
            if self.program.attempt(lambda: self.show_new(circuits.add_empty(self.session, name, self.table.circuit))):
                self.action_edit()

        self.program.ask(Ask("New circuit", words="What is it called? For example: Reversing camera",
                             refuse=lambda text: "" if text.strip() else "a circuit needs a name"), add)

    def show_new(self, circuit: str) -> None:
        """Show the table again with the cursor on a new circuit."""
        self.refresh_plan()
        if not self.table.go_to(circuit):
            self.session.listing.text = ""
            self.refresh_plan()
            self.table.go_to(circuit)

    def action_duplicate(self) -> None:
        name = self.table.circuit
        if name is not None:
            self.program.attempt(lambda: self.show_new(circuits.duplicate(self.session, name)), "Copied; F2 renames it")

    def action_rename(self) -> None:
        name = self.table.circuit
        if name is not None:
            self.program.rename(("circuit", name), self.show_new)

    def action_delete(self) -> None:
        name = self.table.circuit
        if name is not None:
            self.program.delete_part(("circuit", name))

    def action_move_up(self) -> None:
        self._move(-1)

    def action_move_down(self) -> None:
        self._move(1)

    def _move(self, by: int) -> None:
        name = self.table.circuit
        if name is None:
            return
        if not self.session.listing.is_plain:
            self.say("Moving needs the order of the plan: x drops filter and sorting", "bold")
            return
        if self.program.attempt(lambda: circuits.move(self.session, name, by)):
            self.refresh_plan()
            self.table.go_to(name)

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
