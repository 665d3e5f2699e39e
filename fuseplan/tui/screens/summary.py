"""The summary: what to do first, what is not said, the car as a whole; each line leads to its place in the plan."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.papers.cautions import short_notice
from fuseplan.papers.summary import first_page
from fuseplan.plan.references import ENTRIES
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.widgets.reading_list import ReadingList
from fuseplan.tui.words import CAUTION_STYLE, LEVEL_STYLES, MEASURE_STYLE, QUIET_STYLE, line
from fuseplan.workspace.summary import LIST_ALL, SummaryRow, summary_rows

_STYLES = {**LEVEL_STYLES, "measure": MEASURE_STYLE, "heading": "bold $text-accent", "ok": "bold $text-success",
           "unknown": "bold $text-warning"}


class SummaryScreen(PlanScreen[None]):
    """The rows of the summary as a list."""

    WHERE = "summary"
    FOCUSED = OptionList
    GO = "go_summary"
    BINDINGS = bindings("summary", "main")
    CSS = """
    SummaryScreen OptionList { height: 1fr; border: none; background: $background; padding: 0 1; }
    SummaryScreen OptionList > .option-list--option-disabled { color: $foreground; }
    SummaryScreen OptionList > .option-list--option-highlighted { background: $panel; color: $foreground; }
    SummaryScreen OptionList:focus > .option-list--option-highlighted { background: $panel; color: $foreground; }
    SummaryScreen #caution { max-height: 3; padding: 0 1; }
    SummaryScreen.-low #caution { display: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[SummaryRow] = []
        self._whole = False
        self._assessed: Assessment | None = None
        """What the rows are of; None where there are none."""

    def parts(self) -> ComposeResult:
        yield ReadingList(markup=False)
        yield Words(line(("⚠ ", CAUTION_STYLE), short_notice()), own_id="caution")

    @property
    def row(self) -> SummaryRow | None:
        """The row under the cursor."""
        return self.at_cursor(self._rows)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        row = self.row
        if row is None or row is self._rows[0] or isinstance(row.place, str | None) or row.place[0][0] not in ENTRIES:
            return None  # the first is about the whole plan, wherever it leads
        kind, name, *_ = row.place[0]
        return str(kind), str(name)

    @property
    def finding_under_cursor(self) -> Finding | None:
        return None if self.row is None else self.row.finding

    def show_plan(self) -> None:
        super().show_plan()
        if self.session.assessment is self._assessed:
            return
        here, rows = self.query_one(OptionList).highlighted or 0, list(summary_rows(self.session, whole=self._whole))
        self._assessed = self.session.assessment
        if rows != self._rows:
            self._list(rows, here)

    def _list(self, rows: list[SummaryRow], here: int) -> None:
        """Show rows, with the cursor on the one that leads somewhere and is nearest to `here`."""
        self._rows, listed = rows, self.query_one(OptionList)
        listed.set_options([Option(_words(row), disabled=row.place is None) for row in rows])
        listed.highlighted = min((at for at, row in enumerate(rows) if row.place is not None),
                                 key=lambda at: abs(at - here))

    def show_fault(self) -> None:
        self._rows, self._assessed = [], None
        self.query_one(OptionList).clear_options()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.work_out(self.action_go)

    def action_go(self) -> None:
        """Go to what the row is about; from the verdict to the worst; where there is no row, to the circuits."""
        row = self.row
        if row is None or row.place is None:
            self.action_close()
        elif row.place == LIST_ALL:
            self.action_list_all()
        elif isinstance(row.place, str):
            self.call_later(self.app.run_action, f"app.{row.place}")
        else:
            self.program.open_field(*row.place)

    def action_list_all(self) -> None:
        """List every finding and question, or the first few again; the cursor stays with what it stands on, or stands
        under."""
        self._whole = not self._whole
        # Without the verdict, which leads where another row does.
        above = self._rows[1:(self.query_one(OptionList).highlighted or 0) + 1]
        rows = list(summary_rows(self.session, whole=self._whole))
        places = [None, *(row.place for row in rows[1:])]
        self._list(rows, next((places.index(row.place) for row in reversed(above)
                               if row.place not in (None, LIST_ALL) and row.place in places), 0))

    def action_copy(self) -> None:
        """Copy the first page as plain text."""
        self.copy_text(first_page(self.session.assessment))

    def action_close(self) -> None:
        self.program.action_go_circuits()


def _words(row: SummaryRow) -> Content | Hanging:
    """A row: its sign, and its words indented behind it; what follows from the row before stands further in."""
    style = _STYLES[row.role]
    if not row.sign and (row.role != "advice" or row.place is None):
        return line((row.words, style)) if row.role != "advice" else line(row.words)
    if not row.sign:
        return Hanging(line("  "), line(row.words))
    return Hanging(line("    also " if row.follows else "  ", (f"{row.sign} ", style)),
                   line((row.words, QUIET_STYLE if row.follows else "")))
