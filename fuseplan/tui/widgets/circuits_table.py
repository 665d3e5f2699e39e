"""The circuits table; only cells that changed are written again."""

from __future__ import annotations

from dataclasses import replace

from rich.cells import cell_len
from rich.text import Text
from textual.coordinate import Coordinate

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.papers.columns import COLUMNS, Column
from fuseplan.papers.layout import fitted
from fuseplan.tui.widgets.row_table import RowTable
from fuseplan.tui.words import VERDICT_STYLES, shortened
from fuseplan.workspace.session import Session

_WIDTHS = {"name": 17, "feed": 12, "design": 8, "fuse": 11, "window": 11, "wire": 9, "drop": 14, "relay": 7,
           "verdict": 9}
"""Columns each needs at least; what is left over goes to the circuit's name, then to the others that may be wider."""
_MOST_FOR_NAME = 40
_MOST = {"feed": 24, "fuse": 22, "wire": 20, "drop": 18, "window": 17, "design": 17}
_NAMES = ("name", "feed")
"""Columns that hold a name, of which both ends are shown."""
_FIRST_GONE = {"design": 2, "fuse": 1}
"""What else is left out of a narrow window, of the higher rank first, so that the verdict is always in sight."""


Fitted = tuple[Column[JudgedCircuit], int]
"""A column and its width on the screen."""


class CircuitsTable(RowTable):
    """Columns from the one list of columns; the ones of highest rank are left out where there is no room."""

    DEFAULT_CSS = """
    CircuitsTable { height: 1fr; background: $background; overflow-x: hidden; }
    CircuitsTable:nocolor > .datatable--cursor { background: $foreground; color: $background; }
    """

    def __init__(self) -> None:
        super().__init__(cursor_type="row", zebra_stripes=False, cell_padding=0)
        self._columns_shown: list[Fitted] = []
        self._ids: list[str] = []
        self._cells: dict[str, list[str]] = {}
        self._theme = ""
        self._here: str | None = None
        self._assessed: Assessment | None = None
        """What the cells are of; None where there are none."""

    def show(self, session: Session) -> None:
        """Show the circuits as they are now."""
        ids = session.listing.ids(session.assessment)
        columns = fitted_columns(self.app.size.width - 3, session.listing.sort, session.listing.descending)
        if columns != self._columns_shown or self.app.theme != self._theme:
            self._columns_shown, self._theme = columns, self.app.theme
            self._rebuild(columns)
        if ids == self._ids and session.assessment is self._assessed:
            return
        self._assessed = session.assessment
        views = [session.assessment.circuit(name) for name in ids]
        if ids != self._ids:
            self._refill(views)
            return
        for row, view in enumerate(views):
            cells = self._texts(view)
            before = self._cells[view.id]
            for column, (new, old) in enumerate(zip(cells, before, strict=True)):
                if new != old:
                    self.update_cell_at(Coordinate(row, column), self._text(view, column, new))
            self._cells[view.id] = cells

    @property
    def circuit(self) -> str | None:
        """Id of the circuit under the cursor."""
        return self._ids[self.cursor_row] if 0 <= self.cursor_row < len(self._ids) else None

    def go_to(self, circuit: str) -> bool:
        """Put the cursor on a circuit; False when it is not shown."""
        if circuit not in self._ids:
            return False
        self.move_cursor(row=self._ids.index(circuit), animate=False)
        return True

    def _rebuild(self, columns: list[Fitted]) -> None:
        self._here = self.circuit
        self.clear(columns=True)
        self._ids, self._cells, self._assessed = [], {}, None
        for column, width in columns:
            heading = column.heading if cell_len(column.heading) < width else column.short
            label = Text(heading, no_wrap=True)
            label.align(column.align, width - 2 if column.align == "right" else width)
            self.add_column(label, width=width, key=column.key)

    def _refill(self, views: list[JudgedCircuit]) -> None:
        here = self.circuit or self._here
        row = self.cursor_row
        self.clear()
        self._ids = [view.id for view in views]
        self._cells = {}
        for view in views:
            cells = self._texts(view)
            self._cells[view.id] = cells
            self.add_row(*(self._text(view, at, text) for at, text in enumerate(cells)), key=view.id)
        if here is not None and here in self._ids:
            row = self._ids.index(here)
        self.move_cursor(row=max(0, min(row, len(self._ids) - 1)), animate=False)

    def _texts(self, view: JudgedCircuit) -> list[str]:
        return [column.cell(view) for column, _ in self._columns_shown]

    def _text(self, view: JudgedCircuit, at: int, text: str) -> Text:
        column, width = self._columns_shown[at]
        style = self.styled(VERDICT_STYLES[view.verdict]) if column.key == "verdict" else ""
        # The gap between columns belongs to the cell, so that the cursor's bar has no holes.
        room = width - 2 if column.align == "right" else width - 1
        if column.brief is not None and cell_len(text) > room:
            text = column.brief(view)
        if column.key in _NAMES:
            text = shortened(text, room)
        cell = Text(text, style=style, no_wrap=True, overflow="ellipsis", end="")
        cell.truncate(room, overflow="ellipsis")
        if column.align == "right":
            cell.align("right", width - 2)
            cell.pad_right(2)
        return cell


def fitted_columns(width: int, sort: str | None, descending: bool) -> list[Fitted]:
    """The columns there is room for, with their widths."""
    least = [_WIDTHS[column.key] + _gap(column) for column in COLUMNS]
    most = [_MOST_FOR_NAME if column.key == "name" else wide for column, wide in zip(COLUMNS, least, strict=True)]
    ranks = [_FIRST_GONE.get(column.key, column.rank and column.rank + len(_FIRST_GONE)) for column in COLUMNS]
    kept, widths = fitted(most, least, ranks, width, 0)
    spare = width - sum(widths)
    for index, at in enumerate(kept):
        more = max(0, min(spare, _MOST.get(COLUMNS[at].key, 0) - widths[index]))
        widths[index] += more
        spare -= more
    mark = " ↓" if descending else " ↑"
    return [(_marked(COLUMNS[at], mark) if COLUMNS[at].key == sort else COLUMNS[at], wide)
            for at, wide in zip(kept, widths, strict=True)]


def _gap(column: Column[JudgedCircuit]) -> int:
    return 2 if column.align == "right" else 1


def _marked(column: Column[JudgedCircuit], mark: str) -> Column[JudgedCircuit]:
    """A column whose heading shows that the table is sorted by it."""
    return replace(column, heading=column.heading + mark, short=column.short + mark)
