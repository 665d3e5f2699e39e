"""Write the papers to build from and to leave in the car: lists, labels, fuse maps and drawings, as PDF, HTML …

A file that is already in the folder is replaced only where an earlier run wrote it and nobody changed it since.

Exit status: 0 written, 2 a paper cannot be made or written, or the arguments are wrong.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fuseplan.cli.options import limits_option

if TYPE_CHECKING:
    from pathlib import Path


SHOWN = 4
"""Older papers that are named; the others are counted."""


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan papers``."""
    parser.add_argument("plan", metavar="PLAN", nargs="?", help="the plan's file")
    parser.add_argument("names", metavar="NAME", nargs="*",
                        help="only these papers (--list names them); all, where none is named")
    parser.add_argument("--list", action="store_true", help="print the papers and formats there are, and write nothing")
    parser.add_argument("--out", metavar="FOLDER", help="write there; left out: PLAN-papers in this folder")
    parser.add_argument("--format", metavar="FORMATS", help="pdf, html, xlsx, csv, svg, txt, with commas between; left "
                        "out: pdf (where typst is installed), html and xlsx")
    parser.add_argument("--first-label", metavar="N", type=int, default=1,
                        help="first free label of the sheet, counted row by row; left out: 1")
    parser.add_argument("--replace", action="store_true", help="also replace files in the folder that were not written "
                        "by this command, or were changed since")
    limits_option(parser)
    parser.add_argument("--templates", metavar="FOLDER",
                        help="lay out PDF, HTML and label sheets with the templates in this folder; left out: with "
                        "your own, where there are any, else with those that come with fuseplan")
    parser.add_argument("--copy-templates", metavar="FOLDER", nargs="?", const="",
                        help="copy the templates there, to be changed (labels.toml describes your sheet of labels); "
                        "without a folder to where your own are looked for; write nothing else")


def run(args: argparse.Namespace) -> int:
    """Write the papers, and print what was written."""
    from fuseplan.cli.terminal import complain, write
    from fuseplan.planfile.files import clean_path

    if args.list:
        write(_listed())
        return 0
    if args.copy_templates is not None:
        for path in _copy_templates(args.copy_templates):
            write(f"written: {clean_path(path)}")
        return 0
    if args.plan is None:
        complain("fuseplan papers: PLAN is missing; accepted is a plan's file, --list or --copy-templates FOLDER")
        return 2
    _write(args)
    return 0


def _write(args: argparse.Namespace) -> None:
    from fuseplan.bench.model import let_go
    from fuseplan.cli.terminal import complain, write
    from fuseplan.papers.writers import formats_named, is_installed
    from fuseplan.papers.writers.pdf import INSTALL
    from fuseplan.planfile.files import clean_path
    from fuseplan.planfile.limit_files import assessed
    from fuseplan.quantities.listing import first_few
    from fuseplan.workspace.papers import Writing, usual_folder, usual_formats

    if args.format is None and not is_installed("pdf"):
        complain(f"no PDF written: {INSTALL}")
    formats = usual_formats() if args.format is None else formats_named(args.format.split(","))
    assessment = assessed(args.plan, args.limit_set)
    writing = Writing(assessment, args.names, formats, args.out if args.out is not None else usual_folder(args.plan),
                      first_label=args.first_label, templates=args.templates, replace=args.replace)
    let_go()
    count = 0
    for path in writing.paths():
        write(f"written: {clean_path(path)}")
        count += 1
    if not count:
        complain(f"nothing written: the papers asked for hold nothing for {', '.join(formats)}")
    if writing.left:
        names = first_few(writing.left, SHOWN, lambda path: clean_path(path.name))
        complain(f"still there from an earlier run, and perhaps out of date: {names}")
    if writing.head.banner:
        complain(writing.head.banner)


def _listed() -> str:
    from fuseplan.papers.paper_set import sheets
    from fuseplan.papers.writers import FORMATS, is_installed

    wide = max(map(len, sheets()))
    lines = ["Papers:", *(f"  {name:<{wide}}  {sheet.words}" for name, sheet in sheets().items()), "Formats:"]
    lines += [f"  {name:<{wide}}  {each.words}" + ("" if is_installed(name) else " (typst is not installed)")
              for name, each in FORMATS.items()]
    return "\n".join(lines)


def _copy_templates(folder: str) -> list[Path]:
    from importlib.resources import files
    from pathlib import Path

    from fuseplan.papers.writers import TEMPLATES
    from fuseplan.planfile.outputs import made_folder
    from fuseplan.planfile.write import write_new
    from fuseplan.workspace.papers import user_templates

    target, shipped = made_folder(folder or user_templates()), files("fuseplan.papers") / "templates"
    for name in TEMPLATES:
        write_new(target / name, (shipped / name).read_text(encoding="utf-8"))
    return [Path(target) / name for name in TEMPLATES]
