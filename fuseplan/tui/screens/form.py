"""The form on one part of the plan: typed into line by line, judged with every letter."""

from __future__ import annotations

from typing import get_args

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import Finding, SubjectKind
from fuseplan.papers.findings import fixes_words
from fuseplan.plan.references import Path, place
from fuseplan.results.supply import FeedResult
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.confirm_roles import ConfirmRoles
from fuseplan.tui.screens.form_help import finding_content
from fuseplan.tui.screens.form_line import Completer
from fuseplan.tui.screens.form_moves import FormMoves
from fuseplan.tui.screens.form_parts import PartActions
from fuseplan.tui.screens.form_proposal import FieldProposal
from fuseplan.tui.widgets.entry_line import EntryLine
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.tui.widgets.fuse_range_bar import FuseRangeBar
from fuseplan.tui.words import circuit_line, line
from fuseplan.workspace import findings
from fuseplan.workspace.form import Form

WIDE = 118
"""From this width on the findings stand beside the form."""


class FormScreen(ConfirmRoles, FieldProposal, PartActions, FormMoves):
    """The form. The entry line lies over the value of the row under the cursor."""

    WHERE = "form"
    BINDINGS = bindings("form")
    CSS = """
    FormScreen #finding { height: auto; max-height: 8; padding: 0 1; }
    FormScreen #middle { height: 1fr; }
    FormScreen #body { width: 1fr; height: 1fr; layers: base over; border-top: solid $primary 50%; }
    FormScreen FieldList { layer: base; }
    FormScreen #line { layer: over; position: absolute; height: 1; border: none; padding: 0; background: $surface; }
    FormScreen FindingsList { width: 45%; height: 1fr; border-left: solid $primary 50%; display: none; }
    FormScreen.-wide FindingsList { display: block; }
    FormScreen.-wide #finding { display: none; }
    FormScreen.-low #help { display: none; }
    FormScreen.-low #finding { max-height: 2; }
    FormScreen #help { height: 3; padding: 0 1; border-top: solid $primary 50%; }
    .field-list--label { color: $foreground 80%; }
    .field-list--value { text-style: bold; }
    .field-list--heading { color: $text-accent; text-style: bold; }
    .field-list--add { color: $text-primary; }
    .field-list--message { color: $text-error; text-style: bold; }
    .field-list--hint { color: $foreground 60%; text-style: italic; }
    .field-list--cursor { background: $surface; }
    """

    def __init__(self, root: Path, field: Path | None = None, said: str = "") -> None:
        super().__init__()
        self._said = said
        self.root = root
        self._field = field
        self._cursor = 0
        self._existed = False
        self._finding: Content | None = None

    @property
    def form(self) -> Form:
        """The form shown."""
        return Form(self.session, self.root)

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield FuseRangeBar()
        yield Static("", id="finding", markup=False)
        with Horizontal(id="middle"):
            with Vertical(id="body"):
                yield FieldList()
                yield EntryLine(Completer(self))
            yield FindingsList()
        yield Static("", id="help", markup=False)

    def begin(self) -> None:
        if self._field is not None:
            self.form.reveal(self._field)
        self._cursor = self.start_row()
        super().begin()
        if self._said:
            self.say(self._said)
        self.query_one(FieldList).watch(self.query_one(FieldList), "scroll_y", self._place_line, init=False)

    def start_row(self) -> int:
        """The row to begin with: the field asked for, else the first text not taken, else the first field."""
        rows = self.form.rows()
        wanted = [index for index, row in enumerate(rows) if row.path == self._field and row.kind != "id"]
        waiting = [index for index, row in enumerate(rows) if row.message]
        fields = [index for index, row in enumerate(rows) if row.kind == "field"]
        return [*wanted, *waiting, *fields, 0][0]

    @property
    def under_cursor(self) -> tuple[str, str]:
        return findings.subject_of(self.root)

    def show_plan(self) -> None:
        exists = self.session.has(self.root)
        gone, self._existed = self._existed and not exists, exists
        if gone and len(self.root) > 1:
            self.dismiss(None)
            return
        super().show_plan()
        self.set_class(self.app.size.width >= WIDE, "-wide")
        rows = self.form.rows()
        fields = self.query_one(FieldList)
        if fields.rows and self._cursor < len(fields.rows):
            here = fields.rows[self._cursor]
            self._cursor = next((index for index, row in enumerate(rows)
                                 if (row.kind, row.path) == (here.kind, here.path)), self._cursor)
        self._cursor = min(self._cursor, len(rows) - 1)
        fields.show(rows, self._cursor)
        self._show_subject()
        self.show_line()

    def show_fault(self) -> None:
        self._finding = self.fault_line
        self.query_one("#finding", Static).update(self._finding)
        self.query_one(FuseRangeBar).show(None)
        self.query_one(FindingsList).show()

    def _show_subject(self) -> None:
        found: tuple[Finding, ...]
        view: JudgedCircuit | FeedResult | None = None
        assessment = self.session.assessment
        subject = line((place(self.root).capitalize(), "bold"))
        found = assessment.findings_for(*findings.subject_of(self.root))
        caution, missing, unknown = None, self.form.lacking(), tuple[str, ...]()
        asked = assessment.not_said_of(*findings.subject_of(self.root))
        if self.root[0] == "circuit" and self.session.has(self.root):
            circuit = assessment.circuit(str(self.root[1]))
            view, subject, caution = circuit, circuit_line(circuit), circuit.circuit.caution
            missing, unknown = circuit.missing or missing, circuit.unknown
        elif self.root[0] == "feed" and self.session.has(self.root):
            view = next((each for each in assessment.feeds if each.id == self.root[1]), None)
        self.query_one("#subject", Static).update(subject, layout=False)
        bar = self.query_one(FuseRangeBar)
        bar.display = view is not None and (view.fuse is not None or self.root[0] == "circuit")
        bar.show(view)
        at = self.finding_at(found)
        said = tuple(f"{each.what} (not said)" for each in asked if each.safety)
        is_checked = self.root[0] in get_args(SubjectKind)
        fixes = fixes_words(found, assessment)
        content = finding_content(found, fixes, at, caution, missing, (*unknown, *said), is_checked)
        if content != self._finding:
            # Its height may change, so the screen is laid out again: not with every letter.
            self._finding = content
            self.query_one("#finding", Static).update(content)
        if self.has_class("-wide"):
            listed = self.query_one(FindingsList)
            listed.show(found, fixes, caution, None, missing, assessment.limit_set.name if is_checked else "",
                        unknown=unknown, asked=asked, following=assessment.following(found),
                        not_checked=assessment.not_checked(*findings.subject_of(self.root)))
            if found:
                listed.go_to(found[at])

    def on_resize(self) -> None:
        self.call_after_refresh(self.show_line)

    @on(FieldList.Clicked)
    def _clicked(self, event: FieldList.Clicked) -> None:
        again = event.row == self._cursor
        self.go_to_row(event.row)
        if self.row.kind in ("add_part", "add_item", "more") or (again and self.row.kind != "field"):
            self.action_enter()

    @property
    def field(self) -> Path:
        return self.row.path

    def leave_field(self) -> None:
        """What was typed into the field under the cursor counts; the rows may change by that."""
        revision = self.session.revision
        if self.row.kind == "field":
            self.take_line()
            self.form.leave(self.row.path)
        if self.session.revision != revision:
            self.refresh_plan()

    def action_close(self) -> None:
        if self.row.kind == "field":
            self.take_line()
        kept = self.form.keep_emptied(self.row.path)
        if kept:
            self.app.call_later(self.program.say, f"{self.row.label.capitalize()} stays {kept}: Esc takes nothing out "
                                                  "of the plan")
        self.leave_field()
        unfinished = self.form.unfinished()
        self.dismiss(None)
        if unfinished:
            self.app.call_later(self.program.say, unfinished)
