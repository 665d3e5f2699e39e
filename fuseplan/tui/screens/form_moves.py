"""Moving about in a form: from row to row, to a field, to what is wrong, to the next circuit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import Finding
from fuseplan.plan.references import Path, place
from fuseplan.tui.screens.form_line import FormLine
from fuseplan.tui.widgets.entry_line import EntryLine
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.workspace import findings


class FormMoves(FormLine):
    """The part of a form that moves its cursor."""

    root: Path
    _field: Path | None
    _existed: bool
    _gone_to: Finding | NotSaid | None = None

    if TYPE_CHECKING:
        def start_row(self) -> int: ...

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
        self.show_line()

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
        here, asked = self.assessment_findings(), self.session.assessment.not_said_of(*findings.subject_of(self.root))
        found = self._next_of(here, asked)
        if found is None:
            self.say("No faults found in this part of the plan, and nothing is asked about it")
            return
        self._gone_to = found
        root, path = findings.field_of(self.session, found)
        if isinstance(found, Finding):
            self.program.finding, does, words = found, "Fixed", found.message
        else:
            does, words = "Answered", f"{found.what} (not said)"
        if root != self.root:
            self.leave_field()
            self.program.open_form(root, path, f"{does} here, in {place(root)}, not in {place(self.root)}: "
                                               f"{words}. Esc goes back there")
            return
        if len(path) > len(self.root):
            self.go_to_path(path)
        self.refresh_plan()
        if isinstance(found, NotSaid):
            self.say(f"Not said: {found.what}")

    def _next_of(self, here: tuple[Finding, ...], asked: tuple[NotSaid, ...]) -> Finding | NotSaid | None:
        """What to go to next: the finding shown, those behind it, then what is asked, then from the front again."""
        last, shown = self._gone_to, here[self.finding_at(here)] if here else None
        round_again: list[Finding | NotSaid] = [*here, *asked]
        if isinstance(last, NotSaid) or shown is None:
            question = findings.next_asked(asked, last if isinstance(last, NotSaid) else None)
            return question or (round_again[0] if round_again else None)
        if shown != last:
            return shown
        return round_again[(here.index(shown) + 1) % len(round_again)]

    def finding_at(self, here: tuple[Finding, ...]) -> int:
        """Place of the finding shown: the one gone to last where it is about this part, else the gravest."""
        last = self.program.finding
        return (findings.index_of(here, last) or 0) if last is not None else 0

    def assessment_findings(self) -> tuple[Finding, ...]:
        """Findings about this part."""
        return self.session.assessment.findings_for(*findings.subject_of(self.root))

    def action_next_alike(self) -> None:
        self._other(1)

    def action_previous_alike(self) -> None:
        self._other(-1)

    def _alike(self, kind: str) -> list[str]:
        """Names of the parts one goes on to: pins of the same connector, circuits as they are listed, parts of a
        kind."""
        if len(self.root) > 2:
            return list(self.session.plan.connector[str(self.root[1])].pin)
        return self.session.listing.ids(self.session.assessment) if kind == "circuit" else list(
            getattr(self.session.plan, kind))

    def _other(self, by: int) -> None:
        if len(self.root) < 2:
            self.say("There is only one of these")
            return
        ids = self._alike(str(self.root[0]))
        if self.root[-1] in ids:
            self.leave_field()
            self.root = (*self.root[:-1], ids[(ids.index(str(self.root[-1])) + by) % len(ids)])
            self.query_one(FieldList).rows = []
            self._field, self._existed = None, True
            self._cursor = self.start_row()
            self.refresh_plan()
            self.go_to_row(self._cursor)
