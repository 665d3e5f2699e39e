"""Old loom and donor loom: pins, what is unknown and what to probe first, functions to be merged.

Without CONNECTOR all connectors. A pin that is unknown blocks power on every plug that shares a live feed with it. Exit
status: 0 nothing about the looms blocks power, 1 something does, 2 the plan cannot be read or the arguments are wrong.
"""

from __future__ import annotations

import argparse

from fuseplan.cli.options import check_name, limits_option


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan looms``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("connector", metavar="CONNECTOR", nargs="?", help="only this connector")
    parser.add_argument("--by", choices=("connector", "function", "fate"), default="connector",
                        help="order of the pins; what is not known comes first by function and by fate")
    parser.add_argument("--merge", action="store_true",
                        help="each function that car and engine need of each other, against what the looms offer")
    parser.add_argument("--json", action="store_true", help="print a document instead of text")
    limits_option(parser)


def run(args: argparse.Namespace) -> int:
    """Print the report on the looms, or on merging them."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.looms.to_do import countdown
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.looms_text import looms_document, looms_report, merge_documents, merge_report
    from fuseplan.planfile.limit_files import assessed

    assessment = assessed(args.plan, args.limit_set)
    plan, connector = assessment.plan, args.connector
    check_name(args.plan, "connector", connector, plan.connector)
    if args.merge and connector is not None:
        complain("fuseplan looms: --merge goes over all looms; accepted is without CONNECTOR")
        return 2
    if args.merge:
        write(to_json(merge_documents(assessment)) if args.json else merge_report(assessment, room(), painter()))
    elif args.json:
        write(to_json(looms_document(assessment, connector)))
    else:
        write(looms_report(assessment, connector, args.by, room(), painter()))
    return int(not countdown(plan).is_ready)
