"""Check a plan against several sets of published limits side by side, and say why they disagree.

Exit status: 0 the sets of limits agree on every circuit, 1 they disagree on some, 2 the plan cannot be read or a set is
not on file.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan compare-limits``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--limits", dest="limit_set", metavar="NAME", action="append",
                        help="a set of limits to compare, your own too; repeat it for each; default: all on file")
    parser.add_argument("--json", action="store_true", help="print the comparison as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the comparison."""
    from pathlib import Path

    from fuseplan.checks.side_by_side import side_by_side
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.limits import names
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.limits_text import limits_text
    from fuseplan.planfile.limit_files import find_limit_set, own_names
    from fuseplan.planfile.read import read_plan

    plan, path = read_plan(args.plan), Path(args.plan)
    chosen = args.limit_set or [*names(), *own_names(path)]
    found = side_by_side(plan, [find_limit_set(name, path) for name in dict.fromkeys(chosen)])
    write(to_json(found.to_dict()) if args.json else limits_text(found, room(), painter()))
    return int(found.disagreements > 0)
