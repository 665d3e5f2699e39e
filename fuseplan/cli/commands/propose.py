"""Propose wires, fuses and relays that pass every check; written into the plan only on request.

`--write` first shows line by line what would change, asks before it writes, and keeps the file as it was beside it.

Exit status: 0 nothing above advice would be left, 1 something would, 2 the plan cannot be read or the arguments are
wrong.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fuseplan.cli.options import check_name

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Proposal
    from fuseplan.planfile.document import PlanDocument


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan propose``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("circuit", metavar="CIRCUIT", nargs="?", help="change this circuit alone")
    parser.add_argument("--write", action="store_true",
                        help="show what would change in the file, ask, and write it; comments stay, and the file as it "
                             "was is kept beside it (PLAN.bak)")
    parser.add_argument("--yes", action="store_true", help="with --write: write without asking")
    parser.add_argument("--full", action="store_true", help="with every change the figures of the check that forces it")
    parser.add_argument("--limits", dest="limit_set", metavar="NAME",
                        help="propose by this set of published limits, not by the plan's own")
    parser.add_argument("--json", action="store_true", help="print the proposal as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the proposal, and write it where that is asked for."""
    from pathlib import Path

    from fuseplan.advice import propose
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.propose_text import propose_text
    from fuseplan.planfile.document import PlanDocument
    from fuseplan.planfile.limit_files import limit_set_of

    document = PlanDocument.open(args.plan)
    check_name(args.plan, "circuit", args.circuit, document.plan.circuit)
    limit_set = limit_set_of(document.plan, Path(args.plan), args.limit_set)
    proposal = propose(document.plan, limit_set, args.circuit)
    write(to_json(proposal.to_dict()) if args.json else propose_text(proposal, room(), painter(), full=args.full))
    if args.write and proposal.changes:
        _write(document, proposal, args)
    return int(not proposal.accepted)


def _write(document: PlanDocument, proposal: Proposal, args: argparse.Namespace) -> None:
    """Show what would change in the file, ask where nobody has said yes, keep the file as it was, and write."""
    import sys

    from fuseplan.cli.terminal import complain, write
    from fuseplan.papers.harmless import shown
    from fuseplan.papers.propose_text import changed_lines
    from fuseplan.planfile.write import keep_beside
    from fuseplan.quantities import writing

    before = document.snapshot().text
    document.change(proposal.edits)
    count = writing.counted(len(proposal.changes), "change")
    if not args.json:
        write("\n".join(changed_lines(before, document.snapshot().text)))
    if not args.yes:
        if sys.stdin is None or not sys.stdin.isatty():
            complain(f"not written: nobody to ask; add --yes to write {count} to {args.plan}")
            return
        complain(f"Write {count} to {args.plan}? [y/N] ")
        if sys.stdin.readline().strip().casefold() not in ("y", "yes"):
            complain("not written")
            return
    kept = keep_beside(args.plan)
    document.save()
    complain(f"written: {count} to {args.plan}; as it was: {shown(str(kept))}")
