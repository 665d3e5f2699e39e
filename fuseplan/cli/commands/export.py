"""Write a plan's loads, wires and pins as lists for a spreadsheet, its wires as a harness description, or all as JSON.

The lists can be read again with `fuseplan import`. That of wires has the wires of circuits, their loads and relay
coils, of feeds, earth points, the alternator and looms; the wires at pins are in the list of pins. A file that is
there already is replaced only with --replace.

Exit status: 0 written, 2 the plan cannot be read or a file not written.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan export``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--format", choices=("csv", "xlsx", "kbl", "json"), default="csv",
                        help="csv: a file for each list; xlsx: one workbook; kbl: a harness description, KBL 2.5 SR1 "
                        "(VDA 4964); json: the result document; default: csv")
    parser.add_argument("--list", dest="which", metavar="KIND", action="append", choices=("loads", "wires", "pins"),
                        help="loads, wires or pins; repeat it for each; default: all that the plan has")
    parser.add_argument("--out", metavar="FOLDER", default=".", help="where to; default: this folder")
    parser.add_argument("--replace", action="store_true", help="replace files of these names that are there already")


def run(args: argparse.Namespace) -> int:
    """Write the files and name them."""
    from pathlib import Path

    from fuseplan.checks.assessment import assess
    from fuseplan.cli.terminal import complain
    from fuseplan.exchange.kbl_out import kbl_bytes
    from fuseplan.exchange.lists import LISTS
    from fuseplan.exchange.plan_harness import harness_of
    from fuseplan.exchange.writing_lists import csv_list, list_of, not_listed, workbook
    from fuseplan.papers.json_text import result_text
    from fuseplan.planfile.limit_files import limit_set_of
    from fuseplan.planfile.outputs import write_folder
    from fuseplan.planfile.read import read_plan

    path, plan = Path(args.plan), read_plan(args.plan)
    limit_set = limit_set_of(plan, path)
    lists = [LISTS[name] for name in dict.fromkeys(args.which or LISTS)]
    filled = [each for each in lists if args.which or list_of(plan, each)[1]]
    texts: dict[str, str | bytes]
    if args.format == "json":
        texts = {f"{path.stem}.json": result_text(assess(plan, limit_set)) + "\n"}
    elif args.format == "kbl":
        texts = {f"{path.stem}.kbl": kbl_bytes(harness_of(assess(plan, limit_set)))}
    elif args.format == "xlsx":
        texts = {f"{path.stem}.xlsx": workbook(plan, filled)}
    else:
        texts = {f"{path.stem}-{each.name}.csv": csv_list(plan, each) for each in filled}
    for written in write_folder(texts, args.out, replaces=args.replace):
        complain(f"written: {written}")
    if args.format in ("csv", "xlsx") and LISTS["wires"] in lists and (words := not_listed(plan)):
        complain(words)
    return 0
