"""The plan judged by all sets of limits side by side, and why they disagree about the circuit under the cursor."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import DataTable, Static
from textual.worker import get_current_worker

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.side_by_side import Row, SideBySide, side_by_side
from fuseplan.limits import LimitSet
from fuseplan.papers.limits_text import (
    CAUTION,
    DISAGREE,
    NO_CIRCUITS,
    cell_words,
    columns_of,
    limits_text,
    verdict_columns_of,
)
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import COPIED, NOT_COPIED, PlanScreen, background
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, VERDICT_STYLES, line, lines
from fuseplan.workspace.limit_sets import all_limit_sets

WIDE = 170
"""From this width on the cell of each set of limits shows fuse range and wire as well as the verdict."""



class LimitSetsScreen(PlanScreen[None]):
    """Circuits × sets of limits; below, what each says of the circuit under the cursor."""

    WHERE = "limit_sets"
    FOCUSED = ColumnsTable
    GO = "go_limit_sets"
    BINDINGS = bindings("limit_sets", "main")
    CSS = """
    LimitSetsScreen #why { height: 45%; padding: 0 1; border-top: solid $primary 50%; }
    LimitSetsScreen #why Static { height: auto; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._assessment: Assessment | None = None
        self._found: SideBySide | None = None
        self._only_disagreements = False

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ProgressLine()
        yield ColumnsTable()
        with VerticalScroll(id="why"):
            yield Static("", markup=False)

    def show_plan(self) -> None:
        super().show_plan()
        now = self.session.assessment
        if now is not self._assessment:
            self._assessment = now
            chosen = all_limit_sets(self.session)
            self.query_one(ProgressLine).say(f"Judging by {len(chosen)} sets of limits")
            self._judge(now, chosen)
        self._show()

    @background()
    def _judge(self, assessment: Assessment, chosen: list[LimitSet]) -> None:
        found = side_by_side(assessment.plan, chosen)
        if not get_current_worker().is_cancelled:
            self.app.call_from_thread(self._have, found)

    def show_fault(self) -> None:
        self._found = None
        self.query_one(ColumnsTable).show((), (), ())
        for selector in ("#subject", "#why Static"):
            self.query_one(selector, Static).update(self.fault_line)

    def _have(self, found: SideBySide) -> None:
        self._found = found
        self.query_one(ProgressLine).done()
        self._show()

    @property
    def rows(self) -> list[Row]:
        """The circuits shown."""
        if self._found is None:
            return []
        return [row for row in self._found.rows if row.disagree or not self._only_disagreements]

    @property
    def row(self) -> Row | None:
        """The circuit under the cursor."""
        key = self.query_one(ColumnsTable).key
        return next((row for row in self.rows if row.id == key), None)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        return None if self.row is None else ("circuit", self.row.id)

    def _show(self) -> None:
        found = self._found
        if found is None:
            return
        words = f"{found.disagreements} of {len(found.rows)} circuits with different verdicts, marked {DISAGREE}"
        if self._only_disagreements:
            words += "; only these are shown, f shows all"
        self.query_one("#subject", Static).update(line(("Limits side by side  ", "bold"), words))
        columns = columns_of(found) if self.app.size.width >= WIDE else verdict_columns_of(found)
        self.query_one(ColumnsTable).show(self.rows, columns, [row.id for row in self.rows])
        self._show_why()

    def _show_why(self) -> None:
        row, found = self.row, self._found
        parts: list[Content] = []
        if row is not None and found is not None:
            own = self.session.assessment.limit_set.name
            parts.append(line((row.name, "bold")))
            for cell in row.cells:
                mark = "▸ " if cell.limit_set == own else "  "
                parts.append(line((f"{mark}{cell.limit_set:<12} ", "bold"),
                                  (cell_words(cell), VERDICT_STYLES[cell.verdict]),
                                  f"  {', '.join(cell.checks)}" if cell.checks else ""))
                if cell.silent:
                    parts.append(line((f"    nothing on file: {', '.join(cell.silent)}", QUIET_STYLE)))
            parts.append(line(("⚠ ", CAUTION_STYLE), CAUTION))
            parts += [line((f"{DISAGREE} ", "bold $text-accent"), reason) for reason in row.reasons]
            parts.append(line((f"▸ this plan's own set of limits; {row.id} in the file", QUIET_STYLE)))
        elif found is not None:
            parts.append(line("The sets of limits agree about every circuit." if self._only_disagreements
                              else NO_CIRCUITS))
        self.query_one("#why Static", Static).update(lines(*parts))

    @on(DataTable.RowHighlighted)
    def _moved(self) -> None:
        self._show_why()
        self.query_one("#why").scroll_home(animate=False)

    @on(DataTable.RowSelected)
    def _chosen(self) -> None:
        self.action_to_circuit()

    def action_copy(self) -> None:
        """Copy the whole comparison as plain text."""
        if self._found is None:
            self.say(NOT_COPIED)
            return
        self.copy_text(limits_text(self._found, COPIED))

    def action_to_circuit(self) -> None:
        """The form of the circuit under the cursor."""
        if self.row is not None:
            self.program.open_form(("circuit", self.row.id))

    def action_disagreements(self) -> None:
        """Show only the circuits on which the sets of limits disagree, or all again."""
        self._only_disagreements = not self._only_disagreements
        self._show()

    def action_choose_limits(self) -> None:
        """The form of the vehicle on the field that names the limits."""
        self.program.open_form(("vehicle",), ("vehicle", "limits"))
