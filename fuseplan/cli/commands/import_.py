"""Take a list of loads, wires or pins (CSV, XLSX) or a harness (KBL) into a plan, after a look at it.

Without --take nothing is written. How the columns of a list were read is remembered beside it. A harness comes as a
loom with connectors and pins.

Exit status: 0 the list can be taken, or was; 2 it cannot be read as it stands.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fuseplan.exchange.mapping import ColumnMap
    from fuseplan.exchange.table_files import Table
    from fuseplan.planfile.document import PlanDocument


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan import``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("file", metavar="FILE", help="the list: CSV or XLSX, headings in its first row; or "
                        "a harness description, KBL")
    parser.add_argument("--list", dest="which", metavar="KIND", choices=("loads", "wires", "pins"),
                        help="what a row is: loads, wires or pins; default: what the headings name")
    parser.add_argument("--sheet", metavar="NAME", help="sheet of a workbook; default: the first")
    parser.add_argument("--columns", metavar="FILE", help="how the columns are read, from an earlier import")
    parser.add_argument("--column", metavar="KEY=HEADING", action="append", default=[],
                        help="read this key from that column; a unit for bare numbers follows in brackets: "
                        "'current=Strom [A]'")
    parser.add_argument("--fixed", metavar="KEY=VALUE", action="append", default=[],
                        help="value for rows that leave a key empty: 'at=13.5 V'")
    parser.add_argument("--loom", metavar="KIND", choices=("chassis", "engine", "donor", "new"), default="donor",
                        help="what loom a harness is: chassis, engine, donor or new; default: donor")
    parser.add_argument("--replace", action="store_true",
                        help="put the list's values in place of what the plan says of the same circuits or pins")
    parser.add_argument("--take", action="store_true", help="write it into the plan; comments stay")


def run(args: argparse.Namespace) -> int:
    """Show what a list would change, and write it where that is asked for."""
    from pathlib import Path

    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.exchange.kbl_in import is_kbl
    from fuseplan.exchange.mapping import remember
    from fuseplan.exchange.preview import preview_text
    from fuseplan.exchange.table_files import read_table
    from fuseplan.exchange.taking import take
    from fuseplan.planfile.document import PlanDocument
    from fuseplan.quantities import writing

    document = PlanDocument.open(args.plan)
    if is_kbl(args.file):
        return _harness(args, document)
    table = read_table(args.file, args.sheet)
    mapping = _mapping(args, table)
    taken = take(document.snapshot().data, table, mapping, args.replace)
    write(preview_text(table, mapping, taken, room(), painter()))
    if taken.problems:
        return 2
    if not args.take:
        complain("Nothing is written yet: --take writes it into the plan.")
        return 0
    document.change(taken.changes)
    document.save()
    complain(f"written: {writing.counted(len(table.rows), 'row')} into {args.plan}")
    complain(f"how the columns were read: {remember(mapping, Path(args.file))}")
    return 0


def _harness(args: argparse.Namespace, document: PlanDocument) -> int:
    """Show what a harness holds, and write it where that is asked for."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.exchange.harness_into_plan import take_harness
    from fuseplan.exchange.kbl_in import read_kbl
    from fuseplan.exchange.preview import harness_preview
    from fuseplan.quantities import writing

    harness = read_kbl(args.file)
    taken = take_harness(document.snapshot().data, harness, args.loom)
    write(harness_preview(args.file, harness, taken, room(), painter()))
    if not args.take:
        complain("Nothing is written yet: --take writes it into the plan.")
        return 0
    document.change(taken.changes)
    document.save()
    complain(f"written: {writing.counted(len(taken.changes), 'part')} into {args.plan}")
    return 0


def _mapping(args: argparse.Namespace, table: Table) -> ColumnMap:
    """How the columns are read: as told, else as remembered, else as the headings suggest."""
    from dataclasses import replace
    from pathlib import Path

    from fuseplan.exchange.lists import LISTS
    from fuseplan.exchange.mapping import Column, check_units, kind_of_list, proposed, read_mapping, remembered

    kept = Path(args.columns) if args.columns else remembered(Path(args.file))
    if args.columns or (kept.is_file() and args.which is None):
        mapping = read_mapping(kept)
    else:
        mapping = proposed(table, LISTS[args.which] if args.which else kind_of_list(table))
    columns = {key: Column(*_heading(value, table)) for key, value in _pairs(args.column, mapping, "--column")}
    mapping = replace(mapping, columns={**mapping.columns, **columns},
                      fixed={**mapping.fixed, **dict(_pairs(args.fixed, mapping, "--fixed"))})
    check_units(mapping, args.file)
    return mapping


def _pairs(given: list[str], mapping: ColumnMap, option: str) -> list[tuple[str, str]]:
    from fuseplan.errors import EditError
    from fuseplan.plan.references import accepted

    keys = [each.key for each in mapping.which.all_columns]
    found = []
    for text in given:
        key, equals, value = text.partition("=")
        if not equals or key.strip() not in keys:
            raise EditError(f"{option} '{text}': accepted is KEY=…, the key one of the list's; "
                            f"{accepted(key.strip(), keys, 40)}")
        found.append((key.strip(), value.strip()))
    return found


def _heading(text: str, table: Table) -> tuple[str, str]:
    """Heading of the file and unit: the whole text where a column is headed so, else the unit stands in brackets
    behind it."""
    from fuseplan.exchange.lists import split_heading

    unit = split_heading(text)[1]
    if text in table.heads or not unit:
        return text, unit
    return text[:text.rindex("[")].strip() if "[" in text else text[:text.rindex("(")].strip(), unit
