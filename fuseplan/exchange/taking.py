"""Rows of a list as entries of a plan: what would be taken, and what is wrong with it, by row and column."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from fuseplan.errors import AmountError
from fuseplan.exchange.cells import cell_value, is_number
from fuseplan.exchange.lists import WHICH_WIRE, WIRE_OF, PlanList, kind_at, rooted
from fuseplan.exchange.mapping import ColumnMap, column_of
from fuseplan.exchange.part_problems import means_the_same, part_problems
from fuseplan.exchange.table_files import Table, may_be_thousands
from fuseplan.exchange.taken import MOST_PROBLEMS, Problem, Taken
from fuseplan.exchange.wire_places import called, is_there, table_of, wire_path
from fuseplan.plan.model import Plan
from fuseplan.plan.reference_problems import reference_problems
from fuseplan.plan.references import TARGETS, Path, accepted, as_table
from fuseplan.planfile.plain import MISSING, get, with_value
from fuseplan.planfile.read import name_problems
from fuseplan.planfile.validation_messages import sentences
from fuseplan.quantities.amounts import clean

_ID = re.compile(r"[a-z0-9_]+\Z")


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
        self.without_unit: dict[str, list[int]] = {}
        """For each column without a unit, an entry for each row in need of one; the first is its problem's place."""
        self.called: dict[Path, str] = {}
        """What the list first calls each part."""
        self.position: dict[Path, int] = {}
        """Where what a column numbers stands in its list, such as a further joint."""
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
        for first, *others in filter(None, self.without_unit.values()):
            if others:
                told = self.problems[first]
                rows = f"{len(others)} more {'row' if len(others) == 1 else 'rows'}"
                self.problems[first] = Problem(told.where, f"{told.message}; the same in {rows}")
        self._check_whole()

    def _row(self, row: int) -> None:
        cells = {key: self.table.rows[row][place] for key, place in self.place.items()}
        named = {each.key: cells.pop(each.key, "") or self.mapping.fixed.get(each.key, "")
                 for each in self.which.naming}
        root = self._entry(row, named, bool(cells.get("name")))
        base = None if root is None else self._base(row, root, named)
        if root is None or base is None:
            return
        if base not in self.touched and get(self.data, root) is not MISSING and not self._may_change(root, base, row):
            return
        self.touched.setdefault(base, row)
        number = self.counts.get(base, 0)
        said: dict[str, str] = {}
        for key in dict.fromkeys([*cells, *self.mapping.fixed]):
            text = cells.get(key) or self.mapping.fixed.get(key, "")
            if not text or key in named:
                continue
            column = column_of(self.which, key)
            value = self._value(row, key, text, bool(cells.get(key)))
            if value is None:
                continue
            is_own = bool(self.which.repeated) and column.path[0] == self.which.repeated
            # Fixed values alone make no part.
            if not cells.get(key) and is_own and not any(
                    each and column_of(self.which, own).path[0] == self.which.repeated for own, each in cells.items()):
                continue
            path = self._path(base, number, column.path) if is_own else (*root, *column.path)
            held = get(self.data, path)
            same = means_the_same(kind_at(rooted(self.which, column)), held, value)
            self._put(path, held if same else value, row, key)
            said[key] = ", ".join(value) if isinstance(value, list) else text if isinstance(value, dict) else str(value)
        if self.which.repeated and get(self.after, (*base, number)) is not MISSING:
            self.counts[base] = number + 1
            self._check_part((*base, number), row)
        if not self.which.repeated:
            self._check_part(root, row)
        self.rows.append((", ".join([".".join(map(str, root)), *filter(None, [named.get(WHICH_WIRE.key)])]), said))

    def _entry(self, row: int, named: Mapping[str, str], is_called: bool) -> Path | None:
        """Path of the entry a row belongs to; None where that is not said or not possible, which becomes a problem."""
        root: Path = ()
        table: Path | None = None
        try:
            table = (table_of(named[WIRE_OF.key]),) if WIRE_OF.key in named else None
        except AmountError as error:
            self.problem(row, WIRE_OF.key, str(error))
            return None
        if table == ("alternator",):
            root = table
        for each in self.which.entry[bool(root):]:
            text, path = named[each.key], table or each.path
            if not text:
                self.problem(row, each.key, "this is empty; accepted is the name the row belongs to")
                return None
            is_part = not root
            root = (*root, *path, self._name(path, text) if is_part else text)
            first = self.called.setdefault(root, text)
            if text.casefold() != first.casefold() and root[-1] not in (text, first):
                self.problem(row, each.key, f"'{clean(text)}' and '{clean(first)}' would both be {each.key} "
                                            f"'{clean(root[-1])}'; accepted is a name for each that differs in its "
                                            "letters or figures")
                return None
            if is_part and is_there(self.after, root) and not _ID.match(text) and not is_called \
                    and get(self.after, root) is MISSING:
                self._put((*root, "name"), text, row, each.key)
        if table is not None and not is_there(self.data, root):
            key = WIRE_OF.key if len(root) == 1 else self.which.entry[0].key
            self.problem(row, key, f"there is no {' '.join(map(clean, root))} in the plan")
            return None
        return root

    def _base(self, row: int, root: Path, named: Mapping[str, str]) -> Path | None:
        """Path of the list a row adds to, the entry's own where it is the whole entry; None where there is none."""
        if WHICH_WIRE.key not in named:
            return (*root, self.which.repeated) if self.which.repeated else root
        try:
            return wire_path(self.data, root, named[WHICH_WIRE.key])
        except AmountError as error:
            self.problem(row, WHICH_WIRE.key, str(error))
            return None

    def _path(self, base: Path, number: int, path: Path) -> Path:
        """Path of a value of a part; a position past the end of a list, such as that of a third joint where there is no
        second, is its next, for all columns of that joint."""
        found: Path = (*base, number)
        for step in path[2:]:
            if str(step).isdigit():
                held = get(self.after, found)
                step = self.position.setdefault((*found, int(step)), min(
                    int(step), len(held) if isinstance(held, list) else 0))
            found = (*found, step)
        return found

    def _name(self, table: Path, text: str) -> str:
        """Id of an entry: the text itself, of an entry that is called so in the plan its id, else made from it."""
        known = get(self.after, table)
        parts: dict[str, Any] = known if isinstance(known, dict) else {}
        named = [name for name, part in parts.items()
                 if isinstance(part, dict) and str(part.get("name", "")).casefold() == text.casefold()]
        if text not in parts and len(named) == 1:
            return named[0]
        return text if _ID.match(text) else re.sub(r"\W+", "_", text.casefold()).strip("_")[:64] or "unnamed"

    def _may_change(self, root: Path, base: Path, row: int) -> bool:
        """Whether an entry that is in the plan already may be changed; a list that brings its parts replaces them."""
        if self.which.choosing and get(self.data, base) in (MISSING, []):
            return True
        if not self.replaces:
            self.problem(row, self.which.entry[-1].key, f"{called(root)} is in the plan already; "
                         "accepted is another name, or --replace to put the list's values in its place")
            return False
        return True

    def _check_whole(self) -> None:
        """Of a circuit that is in the plan already the list must have every part: which of them a shorter list means
        is not known, and none is dropped in silence. What the list does not say of a part stays as it is."""
        for base, row in self.touched.items():
            held = get(self.data, base) if self.which.repeated else MISSING
            count = self.counts.get(base, 0)
            if isinstance(held, list) and count < len(held):
                words = "length of wire" if self.which.choosing else "load"
                self.problem(row, self.which.entry[-1].key, f"the list has {count} of the {len(held)} parts "
                             f"{called(base[:2])} has in the plan; accepted is a row for each {words}, in the plan's "
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

    def _value(self, row: int, key: str, text: str, in_cell: bool) -> object | None:
        """What a cell, or a fixed value, says; None where it cannot be read, which becomes a problem."""
        unit = self.mapping.columns[key].unit if in_cell else ""
        decimal = self.table.decimal_comma if in_cell else not may_be_thousands(text)
        try:
            value = cell_value(self.which, key, text, unit, decimal)
        except AmountError as error:
            told = self.without_unit.setdefault(key, []) if in_cell and not unit and is_number(text) else []
            told.append(len(self.problems))
            if len(told) == 1:
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

    def _check_part(self, path: Path, row: int) -> None:
        """What a row must not say of the part it stands for."""
        said = {key[-1]: origin for key, origin in self.origin.items() if key[:-1] == path}
        for key, words in part_problems(self.which, path, self.data, self.after, frozenset(map(str, said))):
            self.problem(row, said[key][1] if key in said else key, words)

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
            self.problem(*self._origin_of(path), message)
        self.problems.sort(key=lambda each: each.where == "")

    def _origin_of(self, path: Path) -> tuple[int | None, str | None]:
        for length in range(len(path), 0, -1):
            inside = [origin for each, origin in self.origin.items() if each[:length] == path[:length]]
            if inside:
                return inside[0] if len(inside) == 1 or length == len(path) else (inside[0][0], None)
        return None, None
