"""Rows of a list as entries of a plan: what would be taken, and what is wrong with it, by row and column."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from fuseplan.errors import AmountError
from fuseplan.exchange.cells import cell_value, end_text
from fuseplan.exchange.lists import PlanList, kind_at, rooted
from fuseplan.exchange.mapping import ColumnMap, column_of
from fuseplan.exchange.measured import OF_LOADS, OF_PINS, keeps_better
from fuseplan.exchange.table_files import Table, may_be_thousands
from fuseplan.plan.model import Plan
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import TARGETS, Path, accepted, as_table
from fuseplan.planfile.plain import MISSING, get, with_value
from fuseplan.planfile.read import name_problems
from fuseplan.planfile.validation_messages import sentences
from fuseplan.quantities.amounts import clean, number_in
from fuseplan.quantities.wire_size import WireSize
from fuseplan.records import dataclass

_ID = re.compile(r"[a-z0-9_]+\Z")
MOST_PROBLEMS = 50


@dataclass(frozen=True)
class Problem:
    """One thing wrong with a list: where, as ``row 7, column 'Current'``, and what is accepted."""

    where: str
    message: str

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


@dataclass(frozen=True)
class Taken:
    """What a list would change in a plan.

    Attributes
    ----------
    changes : values by path, as `PlanDocument.change` takes them; empty where anything is wrong
    rows : for each row of the table the entry it belongs to and what it says, by key of the list
    problems : what is wrong, in the order of the file, at most `MOST_PROBLEMS` of them
    """

    changes: tuple[tuple[Path, object], ...]
    rows: tuple[tuple[str, Mapping[str, str]], ...]
    problems: tuple[Problem, ...]


def take(data: Mapping[str, Any], table: Table, mapping: ColumnMap, replaces: bool = False) -> Taken:
    """What the rows of a table would make of a plan's plain data.

    An empty cell says nothing; nothing is guessed. What the list says of an entry that is already in the plan takes the
    place of what stands there with `replaces`; otherwise such an entry is refused.
    """
    taking = _Taking(data, table, mapping, replaces)
    taking.read()
    if not taking.problems:
        taking.check()
    problems = tuple(taking.problems[:MOST_PROBLEMS])
    parts = dict.fromkeys(path[:2] for path in taking.touched)
    changes = () if problems else tuple((path, get(taking.after, path)) for path in parts)
    return Taken(changes, tuple(taking.rows), problems)


class _Taking:
    """One list on its way into one plan."""

    def __init__(self, data: Mapping[str, Any], table: Table, mapping: ColumnMap, replaces: bool) -> None:
        self.data, self.table, self.mapping, self.replaces = data, table, mapping, replaces
        self.which: PlanList = mapping.which
        self.after: Any = data
        self.touched: dict[Path, int] = {}
        """Each entry, and the row that first names it."""
        self.rows: list[tuple[str, Mapping[str, str]]] = []
        self.problems: list[Problem] = []
        self.origin: dict[Path, tuple[int, str]] = {}
        """Row and key each value came from."""
        self.counts: dict[Path, int] = {}
        self.called: dict[Path, str] = {}
        """What the list first calls each part."""
        self.place = {key: table.heads.index(column.heading) for key, column in mapping.columns.items()
                      if column.heading in table.heads}
        about = self.place.get("connector")
        self.listed = frozenset(() if about is None else (row[about] for row in table.rows))
        """Connectors the rows are about."""

    def problem(self, row: int | None, key: str | None, message: str) -> None:
        if row is None:
            where = ""
        elif key in self.place:
            where = self.table.place(row, self.place[key])
        else:
            where = f"row {self.table.numbers[row]}" + (f", {key}" if key else "")
        self.problems.append(Problem(where, message))

    def read(self) -> None:
        """Read all rows; what cannot be read becomes a problem."""
        for key, column in self.mapping.columns.items():
            if key not in self.place:
                self.problem(None, None, f"there is no column '{clean(column.heading)}' for {key}; "
                                         f"{accepted(column.heading, self.table.heads)}")
        entry = self.which.entry[-1].key
        for each in self.which.entry:
            if each.key not in self.mapping.columns:
                self.problem(None, None, f"no column says which {each.key} a row belongs to; accepted is a column "
                                         f"'{entry}', or one named with --column '{entry}=HEADING'")
        if not self.table.rows:
            self.problem(None, None, "there are headings, but no rows below them")
        if self.problems:
            return
        for row in range(len(self.table.rows)):
            self._row(row)
        self._check_whole()

    def _row(self, row: int) -> None:
        cells = {key: self.table.rows[row][place] for key, place in self.place.items()}
        root: Path = ()
        for each in self.which.entry:
            text = cells.pop(each.key)
            if not text:
                self.problem(row, each.key, "this is empty; accepted is the name the row belongs to")
                return
            is_part = not root
            root = (*root, *each.path, self._name(each.path, text) if is_part else text)
            first = self.called.setdefault(root, text)
            if text.casefold() != first.casefold() and root[-1] not in (text, first):
                self.problem(row, each.key, f"'{clean(text)}' and '{clean(first)}' would both be {each.key} "
                                            f"'{clean(root[-1])}'; accepted is a name for each that differs in its "
                                            "letters or figures")
                return
            if is_part and not _ID.match(text) and get(self.after, root) is MISSING and not cells.get("name"):
                self._put((*root, "name"), text, row, each.key)
        if root not in self.touched and get(self.data, root) is not MISSING and not self._may_change(root, row):
            return
        self.touched.setdefault(root, row)
        number = self.counts.get(root, 0)
        said: dict[str, str] = {}
        for key in dict.fromkeys([*cells, *self.mapping.fixed]):
            text = cells.get(key) or self.mapping.fixed.get(key, "")
            if not text:
                continue
            column = column_of(self.which, key)
            value = self._value(row, key, text, bool(cells.get(key)))
            if value is None:
                continue
            steps = tuple(number if step == 0 and self.which.repeated else
                          int(step) if str(step).isdigit() else step for step in column.path)
            is_own = steps[:1] == (self.which.repeated,)
            if not cells.get(key) and is_own and not self._has_own(cells):
                continue
            held = get(self.data, (*root, *steps))
            self._put((*root, *steps), held if self._means(key, held, value) else value, row, key)
            said[key] = ", ".join(value) if isinstance(value, list) else text if isinstance(value, dict) else str(value)
        if self.which.repeated and get(self.after, (*root, self.which.repeated, number)) is not MISSING:
            self.counts[root] = number + 1
            self._check_order(root, number, row)
            self._check_power((*root, self.which.repeated, number), row)
            self._check_measured((*root, self.which.repeated, number), row)
        if not self.which.repeated:
            self._check_measured(root, row)
        self.rows.append((".".join(map(str, root)), said))

    def _has_own(self, cells: Mapping[str, str]) -> bool:
        """Whether a row says anything of a part of its own; fixed values alone make none."""
        return any(text and column_of(self.which, key).path[:1] == (self.which.repeated,)
                   for key, text in cells.items())

    def _name(self, table: Path, text: str) -> str:
        """Id of an entry: the text itself, of an entry that is called so in the plan its id, else made from it."""
        known = get(self.after, table)
        parts: dict[str, Any] = known if isinstance(known, dict) else {}
        named = [name for name, part in parts.items()
                 if isinstance(part, dict) and str(part.get("name", "")).casefold() == text.casefold()]
        if text not in parts and len(named) == 1:
            return named[0]
        return text if _ID.match(text) else re.sub(r"\W+", "_", text.casefold()).strip("_")[:64] or "unnamed"

    def _may_change(self, root: Path, row: int) -> bool:
        """Whether an entry that is in the plan already may be changed; a list that brings its parts replaces them."""
        held = get(self.data, (*root, self.which.repeated)) if self.which.repeated else MISSING
        if self.which.repeated == "wire" and held in (MISSING, []):
            return True
        if not self.replaces:
            self.problem(row, self.which.entry[-1].key, f"{root[0]} '{clean(root[-1])}' is in the plan already; "
                         "accepted is another name, or --replace to put the list's values in its place")
            return False
        return True

    def _check_whole(self) -> None:
        """Of a circuit that is in the plan already the list must have every part: which of them a shorter list means
        is not known, and none is dropped in silence. What the list does not say of a part stays as it is."""
        for root in self.touched:
            held = get(self.data, (*root, self.which.repeated)) if self.which.repeated else MISSING
            count = self.counts.get(root, 0)
            if isinstance(held, list) and count < len(held):
                row = self.touched[root]
                words = "length of wire" if self.which.repeated == "wire" else "load"
                self.problem(row, self.which.entry[-1].key, f"the list has {count} of the {len(held)} parts "
                             f"'{clean(root[-1])}' has in the plan; accepted is a row for each {words}, in the plan's "
                             "order")

    def _put(self, path: Path, value: object, row: int, key: str) -> None:
        """Set a value; a second row may repeat what the first said of the entry, but not say something else."""
        if path in self.origin and get(self.after, path) != value:
            first = self.table.numbers[self.origin[path][0]]
            self.problem(row, key, f"'{clean(value)}' contradicts row {first}; accepted is the same in each row of one "
                                   f"{self.which.entry[-1].key}, or nothing")
            return
        self.after = with_value(self.after, path, value)
        self.origin.setdefault(path, (row, key))

    def _means(self, key: str, held: object, value: object) -> bool:
        """Whether the plan says the same already, however it is spelled there."""
        kind, dimension = kind_at(rooted(self.which, column_of(self.which, key)))
        if kind == "amount" and dimension is not None and isinstance(held, str) and isinstance(value, str):
            old, new = number_in(held, dimension), number_in(value, dimension)
            return old is not None and new is not None and math.isclose(old, new, rel_tol=1e-9)
        if kind == "size" and isinstance(held, str) and isinstance(value, str):
            one, other = WireSize.read(held), WireSize.read(value)
            return (one.system, one.name) == (other.system, other.name)
        if kind == "end" and isinstance(held, dict) and isinstance(value, dict):
            one_end, other_end = (end_text(each.get("connector"), each.get("pin")) for each in (held, value))
            return one_end == other_end
        return held == value

    def _value(self, row: int, key: str, text: str, in_cell: bool) -> object | None:
        """What a cell, or a fixed value, says; None where it cannot be read, which becomes a problem."""
        unit = self.mapping.columns[key].unit if in_cell else ""
        decimal = self.table.decimal_comma if in_cell else not may_be_thousands(text)
        try:
            value = cell_value(self.which, key, text, unit, decimal)
        except AmountError as error:
            self.problem(row, key, str(error))
            return None
        if isinstance(value, dict):
            return self._end(row, key, value)
        target = TARGETS.get(str(column_of(self.which, key).path[-1]))
        # A text that names a part of the plan by what it is called becomes its id.
        return self._name((target,), value) if target is not None and isinstance(value, str) else value

    def _end(self, row: int, key: str, value: dict[str, str]) -> object | None:
        """An end of a wire: a connector by what it is called becomes its id. A text that begins with a connector and
        goes on without the word is asked about, as it would be taken for a part of that name."""
        called = value.get("connector", "")
        name = self._name(("connector",), called)
        if called and self._is_connector(name):
            return {**value, "connector": name}
        first, _, rest = called.partition(" ")
        if "pin" not in value and self._is_connector(first):
            self.problem(row, key, f"'{clean(called)}' is no connector of the plan or the list; accepted is "
                                   f"'{clean(first)} pin {clean(rest)}' for a pin of '{clean(first)}', or a part in "
                                   "other words")
            return None
        return value

    def _is_connector(self, name: str) -> bool:
        """Whether a connector of that id is in the plan, or the rows of the list itself are about it."""
        return name in self.listed or name in as_table(get(self.after, ("connector",)))

    def _check_order(self, root: Path, number: int, row: int) -> None:
        """Rows go to the parts of a circuit in the plan's order: one that names another part is not mixed into it."""
        held = get(self.data, (*root, self.which.repeated))
        key = "name" if self.which.repeated == "load" else "number"
        names = [part.get(key) for part in held if isinstance(part, dict)] if isinstance(held, list) else []
        said = get(self.after, (*root, self.which.repeated, number, key))
        if said in names and names[number:number + 1] != [said]:
            words = "load" if self.which.repeated == "load" else "length of wire"
            self.problem(row, self.origin[(*root, self.which.repeated, number, key)][1],
                         f"'{clean(said)}' is {words} {names.index(said) + 1} of '{clean(root[-1])}' in the plan, but "
                         f"{number + 1} in the list; accepted are the rows of one circuit in the plan's order")

    def _check_power(self, path: Path, row: int) -> None:
        part = get(self.after, path)
        if isinstance(part, dict) and "power" in part and "at" not in part:
            self.problem(row, "power", f"'{clean(part['power'])}' needs the voltage it was stated at; accepted is a "
                                       "column 'at [V]', or one voltage for all rows with --fixed 'at=13.5 V'")

    def _check_measured(self, path: Path, row: int) -> None:
        held, after = get(self.data, path), get(self.after, path)
        of = {"load": OF_LOADS, "": OF_PINS}.get(self.which.repeated)
        if of is not None and isinstance(held, dict) and isinstance(after, dict):
            words = keeps_better(of, held, after, (*path, of.how) in self.origin)
            key = next((self.origin[(*path, each)][1] for each in of.keys
                        if (*path, each) in self.origin and held.get(each) != after.get(each)), None)
            if words:
                self.problem(row, key, words)

    def check(self) -> None:
        """Whether the plan still holds together; each problem at the row it came from."""
        try:
            Plan.model_validate(self.after)
        except ValidationError as error:
            found = sentences(error, Plan, most=MOST_PROBLEMS, data=self.after)
        else:
            found = []
        for path, message in [*found, *reference_problems(self.after, most=MOST_PROBLEMS),
                              *name_problems(self.after, MOST_PROBLEMS)]:
            row, key = self._origin_of(path)
            self.problem(row, key, message)
        self.problems.sort(key=lambda each: each.where == "")

    def _origin_of(self, path: Path) -> tuple[int | None, str | None]:
        for length in range(len(path), 0, -1):
            inside = [origin for each, origin in self.origin.items() if each[:length] == path[:length]]
            if inside:
                return inside[0] if len(inside) == 1 or length == len(path) else (inside[0][0], None)
        return None, None
