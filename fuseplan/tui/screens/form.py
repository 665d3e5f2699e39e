"""The form on one part of the plan: typed into line by line, judged with every letter."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.suggester import Suggester
from textual.widgets import Input, Static

from fuseplan.checks.rule import Finding
from fuseplan.checks.views import CircuitView, FeedView
from fuseplan.plan.references import Path, place
from fuseplan.session import findings
from fuseplan.session.choices import complete
from fuseplan.session.entry import same
from fuseplan.session.form import Form
from fuseplan.session.rows import Row
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.form_help import help_lines, worst_content
from fuseplan.tui.screens.form_parts import PartActions
from fuseplan.tui.screens.form_proposal import FieldProposal
from fuseplan.tui.widgets.entry_line import EntryLine
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.tui.widgets.head import Head
from fuseplan.tui.widgets.key_bar import KeyBar
from fuseplan.tui.widgets.window_bar import WindowBar
from fuseplan.tui.words import circuit_line, line

WIDE = 118
"""From this width on the findings stand beside the form."""


class FormScreen(FieldProposal, PartActions, PlanScreen[None]):
    """The form. The entry line lies over the value of the row under the cursor."""

    WHERE = "form"
    BINDINGS: ClassVar[list[BindingType]] = bindings("form")
    CSS = """
    FormScreen #subject { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    FormScreen #worst { height: auto; max-height: 4; padding: 0 1; }
    FormScreen #middle { height: 1fr; }
    FormScreen #body { width: 1fr; height: 1fr; layers: base over; border-top: solid $primary 50%; }
    FormScreen FieldList { layer: base; }
    FormScreen #line { layer: over; position: absolute; height: 1; border: none; padding: 0; background: $surface; }
    FormScreen FindingsList { width: 45%; height: 1fr; border-left: solid $primary 50%; display: none; }
    FormScreen.-wide FindingsList { display: block; }
    FormScreen.-wide #worst { display: none; }
    FormScreen #help { height: 3; padding: 0 1; border-top: solid $primary 50%; }
    .field-list--label { color: $foreground 80%; }
    .field-list--value { text-style: bold; }
    .field-list--heading { color: $text-accent; text-style: bold; }
    .field-list--add { color: $text-primary; }
    .field-list--message { color: $text-error; text-style: bold; }
    .field-list--hint { color: $foreground 60%; text-style: italic; }
    .field-list--cursor { background: $surface; }
    """

    def __init__(self, root: Path, field: Path | None = None) -> None:
        super().__init__()
        self.root = root
        self._field = field
        self._cursor = 0
        self._existed = False
        self._left = False
        self._spot = (0, 0, 0)
        self._worst: Content | None = None

    @property
    def form(self) -> Form:
        return Form(self.session, self.root)

    def compose(self) -> ComposeResult:
        yield Head()
        yield Static("", id="subject", markup=False)
        yield WindowBar()
        yield Static("", id="worst", markup=False)
        with Horizontal(id="middle"):
            with Vertical(id="body"):
                yield FieldList()
                yield EntryLine(_Completer(self))
            yield FindingsList()
        yield Static("", id="help", markup=False)
        yield KeyBar(self.WHERE)

    def on_mount(self) -> None:
        if self._field is not None:
            self.form.reveal(self._field)
        self._cursor = self._start()
        super().on_mount()
        self.query_one(FieldList).watch(self.query_one(FieldList), "scroll_y", self._place_line, init=False)

    def _start(self) -> int:
        """The row to begin with: the field asked for, else the first text not taken, else the first field."""
        rows = self.form.rows()
        wanted = [index for index, row in enumerate(rows) if row.path == self._field and row.kind != "id"]
        waiting = [index for index, row in enumerate(rows) if row.message]
        fields = [index for index, row in enumerate(rows) if row.kind == "field"]
        return [*wanted, *waiting, *fields, 0][0]

    @property
    def row(self) -> Row:
        """The row under the cursor."""
        return self.query_one(FieldList).rows[self._cursor]

    @property
    def under_cursor(self) -> tuple[str, str]:
        return findings.subject_of(self.root)

    def refresh_plan(self) -> None:
        exists = self.session.has(self.root)
        if self._existed and not exists and len(self.root) > 1:
            self.dismiss(None)
            return
        self._existed = exists
        super().refresh_plan()
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
        self._show_line()

    def _show_subject(self) -> None:
        found: tuple[Finding, ...]
        view: CircuitView | FeedView | None = None
        assessment = self.session.assessment
        subject = line((place(self.root).capitalize(), "bold"))
        found = assessment.findings_for(*findings.subject_of(self.root))
        caution = lacking = None
        if self.root[0] == "circuit" and self.session.has(self.root):
            circuit = assessment.circuit(str(self.root[1]))
            view, subject, caution, lacking = circuit, circuit_line(self.session, circuit), circuit.circuit.caution, \
                circuit.missing
        elif self.root[0] == "feed" and self.session.has(self.root):
            view = next((each for each in assessment.feeds if each.id == self.root[1]), None)
        self.query_one("#subject", Static).update(subject, layout=False)
        bar = self.query_one(WindowBar)
        bar.display = view is not None and (view.fuse is not None or self.root[0] == "circuit")
        bar.show(view)
        worst = worst_content(found, caution, lacking or ())
        if worst != self._worst:
            # Its height may change, so the screen is laid out again: not with every letter.
            self._worst = worst
            self.query_one("#worst", Static).update(worst)
        if self.has_class("-wide"):
            self.query_one(FindingsList).show(found, caution, None, lacking or (), assessment.guidance.name)

    def _show_line(self) -> None:
        """Put the entry line over the row under the cursor, or away where nothing is typed."""
        entry_line, fields, row = self.query_one(EntryLine), self.query_one(FieldList), self.row
        fields.bring_into_view(self._cursor)
        entry_line.display = row.kind == "field"
        if row.kind == "field":
            if row.entry is not None and not same(row.entry, entry_line.value, row.value):
                entry_line.show(row.value)
            if not entry_line.has_focus:
                entry_line.focus(scroll_visible=False)
        elif not fields.has_focus:
            fields.focus(scroll_visible=False)
        self._place_line()
        self.query_one("#help", Static).update(help_lines(self.session, row, entry_line.value), layout=False)

    def _place_line(self) -> None:
        fields, entry_line = self.query_one(FieldList), self.query_one(EntryLine)
        y = fields.line_of(self._cursor) - fields.scroll_offset.y
        seen = 0 <= y < fields.size.height
        entry_line.visible = seen
        if seen:
            width = max(8, fields.size.width - fields.value_column())
            spot = (fields.value_column(), y, width)
            if spot != self._spot:
                # Setting them lays the screen out again, so only when they change.
                self._spot = spot
                entry_line.styles.offset = spot[:2]
                entry_line.styles.width = width

    def on_resize(self) -> None:
        super().on_resize()
        self.call_after_refresh(self._show_line)

    @on(Input.Changed, "#line")
    def _typed(self) -> None:
        self.take_line()

    def take_line(self) -> None:
        """Take what stands in the entry line by now; letters typed on while the last were judged are in it."""
        if self._left:
            return
        row, text = self.row, self.query_one(EntryLine).value
        if row.entry is not None and text != row.value and not (not row.waiting and same(row.entry, text, row.value)):
            self.form.type_text(row.path, text)
            self.refresh_plan()

    @on(FieldList.Clicked)
    def _clicked(self, event: FieldList.Clicked) -> None:
        again = event.row == self._cursor
        self.go_to_row(event.row)
        if self.row.kind in ("add_part", "add_item", "more") or (again and self.row.kind != "field"):
            self.action_enter()

    def go_to_row(self, index: int) -> None:
        """Put the cursor on a row; what was typed before is one step to undo."""
        fields = self.query_one(FieldList)
        if index != self._cursor:
            wanted = fields.rows[max(0, min(index, len(fields.rows) - 1))]
            self.leave_field()
            index = next((at for at, row in enumerate(fields.rows)
                          if (row.kind, row.path) == (wanted.kind, wanted.path)), index)
        self._cursor = max(0, min(index, len(fields.rows) - 1))
        self.query_one(EntryLine).show(self.row.value)
        fields.show(fields.rows, self._cursor)
        self._show_line()

    def leave_field(self) -> None:
        """What was typed into the field under the cursor counts; the rows may change by that."""
        revision = self.session.revision
        if self.row.kind == "field":
            self.take_line()
            self.form.leave(self.row.path)
        if self.session.revision != revision:
            self.refresh_plan()

    def action_row(self, by: int) -> None:
        self.go_to_row(self._cursor + by)

    def go_to_path(self, path: Path) -> None:
        """Put the cursor on the field under a path, unfolding what hides it."""
        self.form.reveal(path)
        self.refresh_plan()
        rows = self.query_one(FieldList).rows
        for index, row in enumerate(rows):
            if row.path == path and row.kind in ("field", "heading", "add_part", "add_item"):
                self.go_to_row(index + 1 if row.kind == "heading" and index + 1 < len(rows) else index)
                return

    def action_next_finding(self) -> None:
        here = self.assessment_findings()
        if not here:
            self.say("Nothing stands against this part of the plan")
            return
        last = None if self.program.finding is None else findings.index_of(here, self.program.finding)
        found = here[0 if last is None else (last + 1) % len(here)]
        self.program.finding = found
        _, path = findings.field_of(self.session, found)
        if path[: len(self.root)] == self.root and len(path) > len(self.root):
            self.go_to_path(path)
        self.say(f"{findings.level_words(found)} {found.message}. Cure: {found.remedy}")

    def assessment_findings(self) -> tuple[Finding, ...]:
        """Findings about this part."""
        return self.session.assessment.findings_for(*findings.subject_of(self.root))

    def action_next_circuit(self) -> None:
        self._other(1)

    def action_previous_circuit(self) -> None:
        self._other(-1)

    def _other(self, by: int) -> None:
        if self.root[0] != "circuit":
            return
        ids = self.session.listing.ids(self.session.assessment)
        if self.root[1] in ids:
            self.leave_field()
            self.root = ("circuit", ids[(ids.index(str(self.root[1])) + by) % len(ids)])
            self.query_one(FieldList).rows = []
            self._field, self._existed = None, True
            self._cursor = self._start()
            self.refresh_plan()
            self.go_to_row(self._cursor)

    def action_close(self) -> None:
        self.leave_field()
        # Letters typed behind the key that closes the form are meant for another screen.
        self._left = True
        self.dismiss(None)


class _Completer(Suggester):
    """Shows the rest of a half-typed word behind the cursor."""

    def __init__(self, screen: FormScreen) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._screen = screen

    async def get_suggestion(self, value: str) -> str | None:
        row = self._screen.row
        found = complete(self._screen.session, row.entry, row.path, value) if row.entry is not None else None
        return found if found is not None and found.startswith(value) else None
