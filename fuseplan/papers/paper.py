"""What a paper is made of: blocks that every writer (text, CSV, XLSX, HTML, SVG, PDF) knows how to set.

A paper is a view of one assessment. It holds texts and numbers, no layout: writers decide on that, and clean every text
of control characters. A cell is a text, a number in the unit of its column, None where the figure is not known (written
`?`), or `Marked`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field
from typing import TYPE_CHECKING, Literal

from fuseplan.errors import PaperError
from fuseplan.papers.columns import PROPOSED
from fuseplan.papers.label_stock import LabelStock, usual_stock
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import Side, unit_words
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

MEMORY_MARK = "†"
MARKS = {PROPOSED: "proposed: not entered in the plan",
         MEMORY_MARK: "from memory: check the datasheet",
         writing.UNKNOWN: "not known: find out before you build this"}
"""Marks that a paper explains at its foot where they occur in it."""

Role = Literal["heading", "plain", "note", "caution", "danger"]


@dataclass(frozen=True)
class Words:
    """A heading or a paragraph. `caution` and `danger` are framed and begin with their word."""

    text: str
    role: Role = "plain"


@dataclass(frozen=True)
class Marked:
    """A cell with a mark behind it, one of `MARKS`: a proposed rating, a figure from memory."""

    value: str | float
    mark: str


Cell = str | float | Marked | None


@dataclass(frozen=True)
class TableColumn:
    """One column of a table."""

    key: str
    """Heading of the column in CSV; with the unit at its end where it holds numbers."""
    heading: str
    unit: str = ""
    """Unit of its numbers as `quantities.writing` knows it; stands in the heading, not in the cells."""
    number: bool = False
    """Whether its cells are numbers; aligned at the right."""
    side: Side = "stated"
    """How its numbers are rounded."""
    fill_in: bool = False
    """Left empty for a pen; wide enough for a hand."""
    by_hand_mm: float = 19.0
    """How wide it is then."""

    @property
    def whole_heading(self) -> str:
        """Heading with the unit: ``Length, mm``."""
        unit = unit_words(self.unit)
        return f"{self.heading}, {unit}" if unit else self.heading

    def written(self, cell: Cell) -> str:
        """A cell as it is printed, with its mark."""
        if isinstance(cell, Marked):
            return f"{self.written(cell.value)}{cell.mark}"
        if cell is None:
            return writing.UNKNOWN
        return cell if isinstance(cell, str) else writing.bare(cell, self.unit, self.side)


@dataclass(frozen=True)
class Table:
    """Rows under columns. `name` names its CSV file and its page in the spreadsheet; those of one name in a paper have
    the same columns and stand there together."""

    name: str
    columns: tuple[TableColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]
    title: str = ""
    group: str | None = None
    """Key of a column that is printed as a line above the rows that share it; CSV and XLSX keep it as a column."""
    note: str = ""
    about: str = ""
    """What all its rows are about, where the paper has such a table for each of several parts: the first column in CSV
    and XLSX; on paper it stands above the table already."""

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise PaperError(f"table {self.name}: a row of {len(row)} cells under {len(self.columns)} columns")


BY_HAND = "...................."
"""Stands where something is written by hand."""


@dataclass(frozen=True)
class Pairs:
    """Words and their values, a line each: the head of a circuit sheet."""

    items: tuple[tuple[str, str], ...]


def to_sign(what: str) -> Pairs:
    """Where somebody signs for what was done: by whom, when."""
    return Pairs(((what, BY_HAND), ("Date", BY_HAND), ("Signature", BY_HAND)))


@dataclass(frozen=True)
class BoxCell:
    """One position of a fuse box. Row and column count from 1, from the upper left."""

    row: int
    column: int
    position: str
    main: str
    """What must be read first, ``15 A blue``; ``empty`` or ``spare`` where nothing is fitted."""
    lines: tuple[str, ...] = ()
    """What else stands there: type, circuit."""
    kind: Literal["fitted", "spare", "empty", "danger"] = "fitted"
    rows: int = 1
    columns: int = 1
    """Places it takes, downwards and across."""


@dataclass(frozen=True)
class BoxGrid:
    """A fuse box as it looks: rows × columns. Positions without a cell are printed as empty places."""

    title: str
    rows: int
    columns: int
    cells: tuple[BoxCell, ...]
    card: bool = False
    """Small, for the inside of the lid, to be cut out."""

    def __post_init__(self) -> None:
        taken: dict[tuple[int, int], str] = {}
        for cell in self.cells:
            for row in range(cell.row, cell.row + cell.rows):
                for column in range(cell.column, cell.column + cell.columns):
                    if not (1 <= row <= self.rows and 1 <= column <= self.columns):
                        raise PaperError(f"{self.title}: position {cell.position} at row {row}, column {column} of a "
                                         f"box of {self.rows} rows and {self.columns} columns")
                    if (row, column) in taken:
                        raise PaperError(f"{self.title}: positions {taken[row, column]} and {cell.position} both at "
                                         f"row {row}, column {column}")
                    taken[row, column] = cell.position


@dataclass(frozen=True)
class Label:
    """One label: what is on it, and how high its letters are."""

    lines: tuple[str, ...]
    height_mm: float = 1.75
    """Height of a capital letter."""
    wrap_mm: float | None = None
    """Way round the wire for a wrap label: its text is set in a zone at the top, the clear tail is left below it."""
    where: str = ""
    """Which end of which wire it goes on; for the list beside the sheet, not printed on the label."""


@dataclass(frozen=True)
class LabelSheet:
    """Labels in the order they are stuck; `first` is the first free label of a sheet begun before."""

    labels: tuple[Label, ...]
    stock: LabelStock = field(default_factory=usual_stock)
    first: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.first <= self.stock.per_sheet:
            raise PaperError(f"first free label {self.first}; accepted is 1 to {self.stock.per_sheet}, the labels of a "
                             "sheet, counted row by row")


@dataclass(frozen=True)
class Drawing:
    """A drawing as SVG, written by `svg` or xml.etree, so that every text in it is escaped."""

    name: str
    svg: str = field(metadata={"markup": True})
    width_mm: float
    height_mm: float
    words: str
    """What it shows, for whoever cannot see it, and as text."""


@dataclass(frozen=True)
class TickBoxes:
    """Things to do or look at, each with a box to tick."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class NewPage:
    """What follows begins on a new page; a long paper is set piece by piece, cut at these."""


Block = Words | Table | Pairs | BoxGrid | LabelSheet | Drawing | TickBoxes | NewPage


@dataclass(frozen=True)
class Paper:
    """One paper: its blocks, in order."""

    name: str
    """Name of its files, and what it is asked for by: ``fuse-map``."""
    title: str
    blocks: tuple[Block, ...]
    landscape: bool = False
    tagged: bool = False
    """Whether its PDF carries what a screen reader needs; for what is read by others than its author."""


@dataclass(frozen=True)
class Wishes:
    """What whoever asks for papers may choose."""

    first_label: int = 1
    stock: LabelStock = field(default_factory=usual_stock)


@dataclass(frozen=True)
class Sheet:
    """A paper that can be asked for. One a file in `sheets/`, as ``SHEET``; being there is being registered."""

    name: str
    title: str
    order: int
    """Where it stands in a set: by the order of the work."""
    words: str
    """What it is for, one line."""
    blocks: Callable[[Assessment, Wishes], Iterable[Block]]
    landscape: bool = False
    tagged: bool = False

    def paper(self, assessment: Assessment, wishes: Wishes) -> Paper:
        """The paper of one assessment."""
        return Paper(self.name, self.title, tuple(self.blocks(assessment, wishes)), self.landscape, self.tagged)
