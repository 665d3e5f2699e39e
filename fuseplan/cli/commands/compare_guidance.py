"""Judge a plan by several sets of published limits side by side, and say why they disagree.

Exit status: 0 the guidances agree on every circuit, 1 they disagree on some, 2 the plan cannot be read or a guidance is
not on file.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan compare-guidance``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--guidance", metavar="NAME", action="append",
                        help="one of the guidances to compare, your own too; repeat it for each; default: all on file")
    parser.add_argument("--json", action="store_true", help="print the comparison as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the comparison."""
    from pathlib import Path

    from fuseplan.checks.side_by_side import side_by_side
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.guidance import names
    from fuseplan.papers.guidance_text import guidance_text
    from fuseplan.papers.json_text import to_json
    from fuseplan.store.guidance_files import find_guidance, own_names
    from fuseplan.store.read import read_plan

    plan, path = read_plan(args.plan), Path(args.plan)
    chosen = args.guidance or [*names(), *own_names(path)]
    found = side_by_side(plan, [find_guidance(name, path) for name in dict.fromkeys(chosen)])
    write(to_json(found.to_dict()) if args.json else guidance_text(found, room(), painter()))
    return int(found.disagreements > 0)
