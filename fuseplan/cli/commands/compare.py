"""Compare two plans: what changed, and which verdicts and findings changed with it.

Exit status: 0 the plans say the same, 1 something changed, 2 one of them cannot be read.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan compare``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file as it was")
    parser.add_argument("other", metavar="OTHER", help="the plan's file as it is now")
    parser.add_argument("--limits", dest="limit_set", metavar="NAME",
                        help="check both by this set of limits; default: each by its own")
    parser.add_argument("--json", action="store_true", help="print the comparison as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the comparison."""
    from fuseplan.advice.plan_comparison import compare_plans
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.plan_comparison_text import comparison_text
    from fuseplan.planfile.limit_files import assessed

    files = (args.plan, args.other)
    found = compare_plans(*(assessed(each, args.limit_set) for each in files))
    write(to_json(found.to_dict()) if args.json else comparison_text(found, files, room(), painter()))
    return int(not found.same)
