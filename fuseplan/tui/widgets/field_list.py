"""The body of a form: all its rows as lines, and one entry line that lies over the value under the cursor."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import wrap
from fuseplan.records import dataclass
from fuseplan.tui.widgets.entry_line import ROW_BINDINGS
from fuseplan.workspace.rows import Row

LABEL_WIDTH = 22
"""Columns of the labels, indentation included."""


@dataclass(frozen=True)
class _Line:
    """One line of the screen: a row, or a piece of the message below it."""

    row: int
    message: str | None = None


class FieldList(ScrollView):
    """Rows of a form, drawn line by line; a hundred of them cost no more than those on the screen."""

    DEFAULT_CSS = """
    FieldList { height: 1fr; background: $background; scrollbar-size-vertical: 1; overflow-x: hidden; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "field-list--label", "field-list--value", "field-list--heading", "field-list--add", "field-list--message",
        "field-list--hint", "field-list--cursor",
    }
    BINDINGS: ClassVar[list[BindingType]] = [
        *ROW_BINDINGS, Binding("home", "screen.row(-1000)", show=False), Binding("end", "screen.row(1000)", show=False),
    ]
    can_focus = True

    class Clicked(Message):
        """A row was clicked."""

        def __init__(self, row: int) -> None:
            super().__init__()
            self.row = row

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[Row] = []
        self.cursor = 0
        self._lines: list[_Line] = []
        self._first_line: list[int] = []

    def show(self, rows: list[Row], cursor: int) -> None:
        """Show rows, with the cursor on one of them."""
        before, stood, lines = self.rows, self.cursor, self._lines
        self.rows, self.cursor = rows, cursor
        if rows != before:
            self._lay_out()
        if len(rows) != len(before) or self._lines != lines:
            self.refresh()
            return
        for number, placed in enumerate(lines):
            row = placed.row
            if rows[row] != before[row] or (row in (cursor, stood) and cursor != stood):
                self.refresh_line(number)

    def line_of(self, row: int) -> int:
        """Number of a row's first line, from the top of the form."""
        return self._first_line[row] if row < len(self._first_line) else 0

    def bring_into_view(self, row: int) -> None:
        """Scroll as far as needed to see a row and what is said below it."""
        if not self.size.height:
            return  # it has no place yet, and comes here again when it has
        top = self.line_of(row)
        end = self.line_of(row + 1) if row + 1 < len(self.rows) else len(self._lines)
        height = max(1, self.scrollable_content_region.height)
        to = self.scroll_offset.y
        if row == 0:
            to = 0
        elif top < to:
            to = max(0, top - 1)
        elif end > to + height:
            to = min(top, end - height)
        # Also where the scrollbar only appears when the rows that are new here are laid out.
        self.scroll_to(y=to, animate=False, immediate=True, force=True)

    def value_column(self) -> int:
        """Column at which values begin."""
        return LABEL_WIDTH + 2

    @property
    def _room(self) -> int:
        """Columns of a line, beside the scrollbar."""
        return self.scrollable_content_region.width

    def on_resize(self) -> None:
        self._lay_out()
        # A message below takes lines away: the row one types into stays in sight.
        if self.cursor < len(self.rows):
            self.call_after_refresh(self.bring_into_view, self.cursor)

    def _lay_out(self) -> None:
        width = max(20, self._room - self.value_column() - 4)
        self._lines, self._first_line = [], []
        for index, row in enumerate(self.rows):
            self._first_line.append(len(self._lines))
            self._lines.append(_Line(index))
            if row.message:
                self._lines += [_Line(index, piece) for piece in wrap(shown(row.message), width)]
        self.virtual_size = Size(self._room, len(self._lines))

    def render_line(self, y: int) -> Strip:
        number = y + self.scroll_offset.y
        width = self._room
        if number >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        placed = self._lines[number]
        row = self.rows[placed.row]
        here = placed.row == self.cursor and placed.message is None
        base = self.rich_style + self.get_component_rich_style("field-list--cursor", partial=True) if here \
            else self.rich_style
        if placed.message is not None:
            first = number > 0 and self._lines[number - 1].message is None
            text = " " * self.value_column() + ("✗ " if first else "  ") + placed.message
            pieces = [(text, "field-list--message")]
        else:
            pieces = self._pieces(row, here)
        segments, left = [], width
        for text, name in pieces:
            style = base + self.get_component_rich_style(name, partial=True) if name else base
            piece = _cut(text, left)
            left -= cell_len(piece)
            segments.append(Segment(piece, style))
        segments.append(Segment(" " * left, base))
        return Strip(segments, width)

    def _pieces(self, row: Row, here: bool) -> list[tuple[str, str]]:
        mark = "▸" if here else " "
        indent = "  " * row.depth
        if row.kind == "heading":
            summary = f"  {shown(row.value)}" if row.value else ""
            return [(f"{mark}{indent}", ""), (f"─ {row.label}", "field-list--heading"), (summary, "field-list--hint")]
        if row.kind in ("add_part", "add_item"):
            return [(f"{mark}{indent}", ""), (row.label, "field-list--add")]
        label = set_cell_size(f"{mark}{indent}{shown(row.label)}", LABEL_WIDTH)
        if row.kind == "more":
            return [(label, "field-list--add"), ("  ", ""), (shown(row.value), "field-list--hint")]
        value = shown(row.value)
        waiting = "✎ " if row.waiting and row.message else "  "
        if not value and row.hint:
            return [(label, "field-list--label"), ("  ", ""), (shown(row.hint), "field-list--hint")]
        return [(label, "field-list--label"), (waiting, "field-list--message"), (value, "field-list--value")]

    def on_click(self, event: events.Click) -> None:
        number = event.y + self.scroll_offset.y
        if 0 <= number < len(self._lines):
            self.post_message(self.Clicked(self._lines[number].row))


def _cut(text: str, width: int) -> str:
    """A text cut to a width, with an ellipsis where something was cut off."""
    if cell_len(text) <= width:
        return text
    return set_cell_size(text, max(0, width - 1)) + ("…" if width > 0 else "")
