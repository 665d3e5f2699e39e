"""Beside the car: the test sheet row by row, the reading typed, its verdict at once."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from fuseplan.bench.sheet import SheetRow, SheetSection, sheet_of
from fuseplan.bench.sheet_minutes import time_words
from fuseplan.checks.assessment import Assessment
from fuseplan.quantities.decimals import unit_words
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.bench_readings import BenchReadings
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.widgets.bench_row import big_row, row_option
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.entry_line import TypedLine
from fuseplan.tui.words import QUIET_STYLE, line

KEYS: list[BindingType] = [
    ("up", "row(-1)", ""), ("down", "row(1)", ""), ("pageup", "row(-8)", ""), ("pagedown", "row(8)", ""),
]


class BenchScreen(BenchReadings):
    """Screen 5. What is typed goes into the row under the cursor: number and unit, Enter, next row."""

    WHERE = "bench"
    FOCUSED = TypedLine
    GO = "go_bench"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("bench"), *KEYS]
    CSS = """
    BenchScreen OptionList { height: 1fr; border: none; background: $background; text-wrap: nowrap;
        text-overflow: ellipsis; padding: 0; }
    BenchScreen #row { height: auto; max-height: 12; border-top: solid $primary 50%; padding: 0 1; }
    BenchScreen #typed { height: auto; min-height: 2; padding: 0 1; background: $panel; }
    BenchScreen #ask { height: 1; text-style: bold; text-wrap: nowrap; text-overflow: ellipsis; }
    BenchScreen.-low #row { max-height: 4; border-top: none; }
    """

    def __init__(self, row: tuple[str, str] | None = None) -> None:
        super().__init__()
        self._wanted = row
        self._section = 0
        self._sheet: tuple[SheetSection, ...] = ()
        self._sheet_of: Assessment | None = None
        self._seen: tuple[str, str] | None = None
        """Point and condition of a row that is shown although nothing has failed."""

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield OptionList(markup=False)
        yield Words(own_id="row")
        with Vertical(id="typed"):
            yield Static("", id="ask", markup=False)
            yield TypedLine(placeholder="reading, Enter", select=False)

    # --- where one is ------------------------------------------------------------------------------------------

    @property
    def section(self) -> SheetSection:
        """The section of the sheet that is shown."""
        return self._sheet[self._section]

    @property
    def row(self) -> SheetRow | None:
        """The row under the cursor."""
        return self.at_cursor(self._rows) if self._sheet else None

    @property
    def _rows(self) -> tuple[SheetRow, ...]:
        """The rows of the section that are asked for, and the one somebody asked to see."""
        return tuple(row for row in self.section.rows if row.is_asked or row.key == self._seen)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        row = self.row
        return None if row is None or not row.point.subject else (row.point.kind, row.point.subject)

    def show_plan(self) -> None:
        super().show_plan()
        now, before = self.session.assessment, self.row
        if now is not self._sheet_of:
            read = self._read()
            self._sheet, self._sheet_of = sheet_of(now), now
            # Where one reading comes or goes, the cursor is on its row: after an undo the next one is typed there.
            changed = {key for key, _ in read ^ self._read()}
            listed = {row.key for each in self._sheet for row in each.rows}
            if before is not None and self._wanted is None and len(changed) == 1 and changed <= listed:
                self._wanted = changed.pop()
        # Rows come and go with what was read: the cursor stays on its own.
        here = self.query_one(OptionList).highlighted if before is None else next(
            (place for place, row in enumerate(self._rows) if row.key == before.key), 0)
        if self._wanted is not None:
            self._go_to(self._wanted)
            self._wanted = None
        else:
            self._list(here)

    def _read(self) -> set[tuple[tuple[str, str], str]]:
        """The readings on the sheet: point and condition of each, and what was typed."""
        return {(row.key, row.reading.raw) for each in self._sheet for row in each.rows if row.reading is not None}

    def show_fault(self) -> None:
        self._sheet, self._sheet_of = (), None
        self.query_one(OptionList).clear_options()
        self.query_one("#row", Words).update(self.fault_line)

    def _list(self, at: int | None) -> None:
        listed, found, rows = self.query_one(OptionList), self.section, self._rows
        read = sum(row.reading is not None for row in rows)
        self.query_one("#subject", Static).update(line(
            (f"{self._section + 1} {found.section.title}  ", "bold"), f"{read} of {len(rows)} read",
            (f"  {_unread_words(found)}", QUIET_STYLE)))
        listed.set_options([Option(row_option(row)) for row in rows])
        listed.highlighted = min(at or 0, len(rows) - 1) if rows else None
        self._show_row()

    def _show_row(self) -> None:
        row = self.row
        words = self.query_one("#row", Words)
        if row is None:
            words.update(line(f"This plan has no rows under {self.section.section.title}" if self._sheet else ""))
            self.query_one("#ask", Static).update(line(""))
            return
        words.update(big_row(row, self.section.section.notes if row is self._rows[0] else (),
                             self.app.size.height < 18))
        words.scroll_home(animate=False)
        self.query_one("#ask", Static).update(line(f"{row.number} in {unit_words(row.point.unit)}  ",
                                                   (f"{row.point.title}: {row.point.words}", "")))

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self.work_out(self._show_row)

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.query_one(TypedLine).focus()

    def _go_to(self, key: tuple[str, str]) -> None:
        """Put the cursor on the row of a point and condition: in this section, else in the first that has it."""
        for number in sorted(range(len(self._sheet)), key=lambda number: number != self._section):
            if any(row.key == key for row in self._sheet[number].rows):
                self._section, self._seen = number, key
                self._list(next(place for place, row in enumerate(self._rows) if row.key == key))
                return

    def go_to(self, key: tuple[str, str]) -> None:
        """The same, from another screen."""
        self._wanted = key

    def leave_field(self) -> None:
        """What is typed and not entered is no reading yet."""

    # --- keys --------------------------------------------------------------------------------------------------

    def action_row(self, by: int) -> None:
        """Go up or down some rows."""
        listed = self.query_one(OptionList)
        if listed.option_count:
            listed.highlighted = max(0, min((listed.highlighted or 0) + by, listed.option_count - 1))
        self.query_one(TypedLine).focus()

    def action_next_section(self) -> None:
        self._to_section(self._section + 1)

    def action_previous_section(self) -> None:
        self._to_section(self._section - 1)

    def _to_section(self, number: int) -> None:
        if self._sheet:
            self._section, self._seen = number % len(self._sheet), None
            self._list(0)
            self.query_one(TypedLine).focus()

    def action_sections(self) -> None:
        """Ask for a section."""
        if not self._sheet:
            return
        answers = [Answer(str(number), f"{number + 1} {each.section.title}", _unread_words(each))
                   for number, each in enumerate(self._sheet)]
        self.program.ask(Choose("Which section?", answers, current=str(self._section)),
                         lambda answer: self._to_section(int(answer)))

    def action_next_unread(self) -> None:
        """Go to the next required row without a reading, through all sections."""
        if not self._sheet:
            return
        here = self.query_one(OptionList).highlighted or 0
        for step in range(len(self._sheet) + 1):
            number = (self._section + step) % len(self._sheet)
            rows = self._rows if step == 0 else self._sheet[number].asked_rows
            at = next((place for place, row in enumerate(rows) if row.required and row.reading is None
                       and (step > 0 or place > here)), None)
            if at is not None:
                if step:
                    self._section, self._seen = number, None
                self._list(at)
                self.query_one(TypedLine).focus()
                return
        self.say("Every required row has been read")

    def action_to_form(self) -> None:
        """Open the form of the part of the row."""
        row = self.row
        if row is None or row.point.kind == "can":
            self.say("This row has no form of its own")
        elif row.point.subject:
            self.program.open_form((row.point.kind, row.point.subject))
        else:
            self.program.open_form((row.point.kind,))

    def action_diagnose(self) -> None:
        """Say what the readings of the circuit of this row mean."""
        from fuseplan.tui.screens.diagnosis import DiagnosisScreen

        row = self.row
        if row is None or row.point.kind != "circuit":
            self.say("Go to a row of a circuit: a diagnosis is of one circuit")
            return
        screen = DiagnosisScreen(row.point.subject)

        def back(_: None) -> None:
            asked = screen.next_row
            if asked is None:
                return
            self.asked = asked
            if any(each.key == asked for section in self._sheet for each in section.rows):
                self.go_to(asked)
            else:
                typed = self.query_one(TypedLine)
                typed.value = f"{asked[0]}="
                typed.cursor_position = len(typed.value)

        self.app.push_screen(screen, back)

    def action_ready(self) -> None:
        """Show what is open."""
        from fuseplan.tui.screens.ready import ReadyScreen

        self.program.ask(ReadyScreen(), self.go_to)


def _unread_words(section: SheetSection) -> str:
    count = len(section.open_rows)
    return f"{count} required and unread, {time_words(section.minutes_left)}" if count else "nothing required is unread"
