"""Assess a plan and print one screen that says what to do first; with --full every table and finding."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fuseplan.cli.options import check_name, limits_option

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan check``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--full", action="store_true",
                        help="print every table and finding with its source, not only the first page")
    parser.add_argument("--json", action="store_true",
                        help="print the result document instead of text (fuseplan schema result describes it)")
    parser.add_argument("--csv", metavar="FOLDER",
                        help="also write circuits.csv, segments.csv, findings.csv and not_said.csv there")
    limits_option(parser)
    for kind, words in PARTS.items():
        parser.add_argument(f"--{kind}", metavar="ID",
                            help=f"only this {words}, in detail; the exit status is for it alone")
    parser.add_argument("--measure-first", action="store_true",
                        help="also list the currents whose uncertainty can change a verdict, and how to measure them")
    parser.add_argument("--sample", metavar="N", type=int,
                        help="also draw every current N times between its bounds: how often each check fails")


def run(args: argparse.Namespace) -> int:
    """Print the assessment."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.planfile.limit_files import assessed

    asked = [(kind, getattr(args, kind)) for kind in PARTS if getattr(args, kind) is not None]
    if len(asked) > 1:
        complain(f"fuseplan check: {' and '.join(f'--{kind}' for kind, _ in asked)}; accepted is one part at a time")
        return 2
    assessment = assessed(args.plan, args.limit_set)
    part: tuple[str, str] | None = asked[0] if asked else None
    if part is not None:
        known = {"circuit": list(assessment.plan.circuit), "feed": [each.id for each in assessment.feeds],
                 "earth": [each.id for each in assessment.earths]}
        check_name(args.plan, PARTS[part[0]], part[1], known[part[0]])
    if args.sample is not None and not 1 <= args.sample <= MOST_SAMPLES:
        complain(f"fuseplan check: {args.sample} samples; accepted is a number from 1 to {MOST_SAMPLES}")
        return 2
    if args.csv is not None:
        from fuseplan.papers.csv_files import csv_texts
        from fuseplan.planfile.outputs import write_folder

        for path in write_folder(csv_texts(assessment), args.csv):
            complain(f"written: {path}")
    if args.json:
        from fuseplan.papers.json_text import result_text

        write(result_text(assessment, part))
    elif part is not None:
        from fuseplan.papers.part_text import REPORTS

        write(REPORTS[part[0]](assessment, part[1], room(), painter()))
    elif args.full:
        from fuseplan.papers.text import report

        write(report(assessment, room(), painter()))
    else:
        from fuseplan.papers.summary import first_page

        write(first_page(assessment, room(), painter(), args.plan))
    if args.sample is not None or args.measure_first:
        _evidence(assessment, args.sample, args.json)
    return assessment.exit_status if part is None else \
        int(any(finding.level != "advice" for finding in assessment.findings_for(*part)))


MOST_SAMPLES = 1_000_000
PARTS = {"circuit": "circuit", "feed": "feed", "earth": "earth point"}
"""What one may ask for in detail, and its kind in words."""


def _evidence(assessment: Assessment, count: int | None, to_errors: bool) -> None:
    """Samples of the currents, where they are asked for, and what to measure first; beside a JSON document they go to
    the error output, which keeps it whole."""
    from fuseplan.advice.evidence import measure_first, not_asked, sample
    from fuseplan.cli.terminal import complain, painter, progress, room, write
    from fuseplan.papers.evidence_text import left_out_words, measure_lines, sample_lines
    from fuseplan.papers.paragraphs import paragraph, unpainted

    paint = unpainted if to_errors else painter()
    lines: list[str] = []
    if count is not None:
        found = sample(assessment, count, progress=progress)
        lines += [*sample_lines(found, assessment, room(), paint), ""]
    readings = measure_first(assessment)
    lines += measure_lines(readings, assessment.plan, room(), paint) or [
        "Measure first: no uncertain current can change a verdict."]
    if left_out := left_out_words(not_asked(assessment)):
        lines += paragraph(left_out, room(), "  ")
    if to_errors:
        for line in lines:
            complain(line)
    else:
        write("\n".join(["", *lines]).rstrip())
