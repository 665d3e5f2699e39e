"""Which column of a file is which of a list: proposed from the headings, remembered in a small file."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path

from fuseplan.exchange.lists import LISTS, Kind, ListColumn, PlanList, kind_at, rooted, split_heading
from fuseplan.exchange.table_files import Table
from fuseplan.plan.references import accepted
from fuseplan.planfile.files import decode, read_bytes, refused
from fuseplan.planfile.plain import literal
from fuseplan.planfile.write import write_atomically
from fuseplan.quantities.amounts import Dimension, clean, number_in
from fuseplan.records import dataclass

REMEMBERED = ".columns.toml"
"""Behind the name of a list's file: where its mapping is remembered."""
WANTED = "a mapping of columns in TOML"


@dataclass(frozen=True)
class Column:
    """A column of the file: its heading, and the unit of cells that are numbers alone, empty where they bring it."""

    heading: str
    unit: str = ""


@dataclass(frozen=True)
class ColumnMap:
    """How a file is read.

    Attributes:
        which: the list it holds
        columns: column of the file by key of the list
        fixed: value, with its unit, for rows that leave a key empty
    """

    which: PlanList
    columns: Mapping[str, Column] = field(default_factory=dict)
    fixed: Mapping[str, str] = field(default_factory=dict)

    def unread(self, table: Table) -> list[str]:
        """Headings of the file that no key is read from."""
        taken = {each.heading for each in self.columns.values()}
        return [head for head in table.heads if head and head not in taken]


def proposed(table: Table, which: PlanList) -> ColumnMap:
    """The mapping that the headings of a file suggest."""
    found: dict[str, Column] = {}
    heads = [(head, *split_heading(head)) for head in table.heads]
    for column in which.all_columns:
        for name in (column.key, *column.others):
            match = next(((head, unit) for head, words, unit in heads if words == name
                          and head not in {each.heading for each in found.values()}), None)
            if match is not None:
                found[column.key] = Column(match[0], match[1] or _unit_in_words(which, column, match[0]))
                break
    return ColumnMap(which, found)


def _unit_in_words(which: PlanList, column: ListColumn, head: str) -> str:
    """The unit a heading is itself, such as ``Amps``; empty where it is none."""
    _, dimension = kind_of_column(which, column.key)
    return head if dimension is not None and len(head) > 1 and number_in(f"1 {head}", dimension) is not None else ""


def kind_of_list(table: Table) -> PlanList:
    """The list whose keys most headings of a file name; the first of those alike."""
    return max(LISTS.values(), key=lambda each: len(proposed(table, each).columns))


def read_mapping(path: Path) -> ColumnMap:
    """A mapping from its file.

    Raises:
        PlanError: With what is accepted.
    """
    raw, _ = read_bytes(path, WANTED)
    file = str(path)
    text, _ = decode(raw, file)
    try:
        data = tomllib.loads(text)
    except ValueError as error:
        raise refused(file, f"this is not TOML: {clean(error)[:120]}; accepted is {WANTED}") from None
    which = LISTS.get(str(data.get("list")))
    if which is None:
        raise refused(file, f"`list` is '{clean(data.get('list'))}'; {accepted(data.get('list'), LISTS)}")
    columns, fixed = data.get("column", {}), data.get("fixed", {})
    keys = [each.key for each in which.all_columns]
    for table, part in (("column", columns), ("fixed", fixed)):
        if not isinstance(part, dict):
            raise refused(file, f"`{table}` is no table; accepted is a line for each key of the list")
        for key, value in part.items():
            if key not in keys:
                raise refused(file, f"`{table}.{clean(key)}` is no key of the list; {accepted(key, keys)}")
            whole = isinstance(value, str) if table == "fixed" else (
                isinstance(value, dict) and isinstance(value.get("heading"), str)
                and isinstance(value.get("unit", ""), str) and value.keys() <= {"heading", "unit"})
            if not whole:
                raise refused(file, f"`{table}.{clean(key)}`: accepted is " + (
                    'a text with its unit, such as "13.5 V"' if table == "fixed" else
                    '{ heading = "…", unit = "…" }, the unit where the cells are numbers alone'))
    mapped = ColumnMap(which, {key: Column(value["heading"], value.get("unit", "")) for key, value in columns.items()},
                      fixed)
    check_units(mapped, file)
    return mapped


def check_units(mapping: ColumnMap, file: str) -> None:
    """Refuse, as PlanError, a unit that does not measure what its key does."""
    for key, column in mapping.columns.items():
        kind, dimension = kind_of_column(mapping.which, key)
        if not column.unit:
            continue
        fits = kind == "amount" and dimension is not None and number_in(f"1 {column.unit}", dimension) is not None
        if not fits and not (kind == "size" and column.unit.casefold() in ("mm2", "mm²", "awg", "sae")):
            measured = "a wire size in mm2, AWG or SAE" if kind == "size" else \
                f"a {dimension.name}" if dimension is not None else "no figure with a unit"
            raise refused(file, f"column '{clean(column.heading)}': '{clean(column.unit)}' does not fit; {key} is "
                                f"{measured}")


def kind_of_column(which: PlanList, key: str) -> tuple[Kind, Dimension | None]:
    """Kind and dimension of a key of a list."""
    column = column_of(which, key)
    return ("text", None) if column in which.naming else kind_at(rooted(which, column))


def column_of(which: PlanList, key: str) -> ListColumn:
    """A column of a list by its key; KeyError where it has none."""
    for each in which.all_columns:
        if each.key == key:
            return each
    raise KeyError(key)


def remembered(table_file: Path) -> Path:
    """Where the mapping of a list's file is remembered."""
    return table_file.with_name(table_file.name + REMEMBERED)


def mapping_text(mapping: ColumnMap) -> str:
    """A mapping as it is remembered."""
    lines = ["# How the columns of this list are read by `fuseplan import`.", f"list = {literal(mapping.which.name)}",
             "", "[column]"]
    for key, column in mapping.columns.items():
        unit = f", unit = {literal(column.unit)}" if column.unit else ""
        lines.append(f"{literal(key)} = {{ heading = {literal(column.heading)}{unit} }}")
    lines += ["", "[fixed]", *(f"{literal(key)} = {literal(value)}" for key, value in mapping.fixed.items())]
    return "\n".join(lines) + "\n"


def remember(mapping: ColumnMap, table_file: Path) -> Path:
    """Write a mapping beside the list it reads; its path."""
    target = remembered(table_file)
    write_atomically(target, mapping_text(mapping).encode("utf-8"))
    return target
