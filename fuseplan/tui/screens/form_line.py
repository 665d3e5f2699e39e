"""The entry line of a form: it lies over the value of the row under the cursor and is taken with every letter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.suggester import Suggester
from textual.widgets import Input, Static

from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.form_help import help_lines
from fuseplan.tui.widgets.entry_line import EntryLine
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.workspace.choices import complete
from fuseplan.workspace.entry import same
from fuseplan.workspace.rows import Row

if TYPE_CHECKING:
    from fuseplan.workspace.form import Form


class FormLine(PlanScreen[None]):
    """The part of a form that is typed into."""

    _cursor: int
    _spot = (0, 0, 0)

    if TYPE_CHECKING:
        @property
        def form(self) -> Form: ...

    @property
    def row(self) -> Row:
        """The row under the cursor."""
        return self.query_one(FieldList).rows[self._cursor]

    def show_line(self) -> None:
        """Put the entry line over the row under the cursor, or away where nothing is typed."""
        entry_line, fields, row = self.query_one(EntryLine), self.query_one(FieldList), self.row
        fields.bring_into_view(self._cursor)
        entry_line.display = row.kind == "field"
        if row.kind == "field":
            if row.entry is not None and not same(row.entry, entry_line.value, row.value):
                entry_line.show(row.value)
            entry_line.placeholder = row.hint
        # At once: what is asked for of the program comes later, perhaps when the cursor is on another kind of row.
        self.set_focus(entry_line if row.kind == "field" else fields, scroll_visible=False)
        self._place_line()
        self.query_one("#help", Static).update(help_lines(
            self.session, row, entry_line.value, entry_line.is_untouched), layout=False)

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

    @on(Input.Changed, "#line")
    async def _typed(self) -> None:
        if not self.is_left:
            await self.program.letters_are_in(self.query_one(EntryLine))
        self.take_line()

    def take_line(self) -> None:
        """Take what stands in the entry line by now; letters typed on while the last were judged are in it."""
        if self.is_left:
            return
        row, text = self.row, self.query_one(EntryLine).value
        if row.entry is not None and text != row.value and not (not row.waiting and same(row.entry, text, row.value)):
            self.hush()
            giving_way = self.form.giving_way(row.path)
            self.form.type_text(row.path, text)
            self.refresh_plan()
            if giving_way and not self.form.giving_way(row.path):
                words = " and ".join(str(path[-1]) for path in giving_way).capitalize()
                self.say(f"{words} now {'comes' if len(giving_way) == 1 else 'come'} from the runs; "
                         "Ctrl+Z brings back what was entered")


class Completer(Suggester):
    """Shows the rest of a half-typed word behind the cursor."""

    def __init__(self, screen: FormLine) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._screen = screen

    async def get_suggestion(self, value: str) -> str | None:
        row = self._screen.row
        found = complete(self._screen.session, row.entry, row.path, value) if row.entry is not None else None
        return found if found is not None and found.startswith(value) else None
