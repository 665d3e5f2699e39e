"""Propose wires, fuses and relays that pass every check; written into the plan only on request.

Exit status: 0 nothing above advice would be left, 1 something would, 2 the plan cannot be read or the arguments are
wrong.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan propose``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("circuit", metavar="CIRCUIT", nargs="?", help="change this circuit alone")
    parser.add_argument("--write", action="store_true", help="write the changes into the plan; comments stay")
    parser.add_argument("--limits", dest="limit_set", metavar="NAME",
                        help="propose by this set of published limits, not by the plan's own")
    parser.add_argument("--json", action="store_true", help="print the proposal as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the proposal, and write it where that is asked for."""
    from pathlib import Path

    from fuseplan.advice import propose
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.propose_text import propose_text
    from fuseplan.planfile.document import PlanDocument
    from fuseplan.planfile.limit_files import find_limit_set

    document = PlanDocument.open(args.plan)
    if args.circuit is not None and args.circuit not in document.plan.circuit:
        from fuseplan.plan.references import accepted

        complain(f"{args.plan}: there is no circuit '{args.circuit}'; "
                 f"{accepted(args.circuit, list(document.plan.circuit))}")
        return 2
    limit_set = find_limit_set(args.limit_set or document.plan.vehicle.limits, Path(args.plan))
    proposal = propose(document.plan, limit_set, args.circuit)
    write(to_json(proposal.to_dict()) if args.json else propose_text(proposal, room(), painter()))
    if args.write and proposal.changes:
        document.change(proposal.edits)
        document.save()
        count = len(proposal.changes)
        complain(f"written: {count} {'change' if count == 1 else 'changes'} to {args.plan}")
    return int(not proposal.accepted)
