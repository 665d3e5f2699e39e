"""Rewrite a plan that uses old keys and words with the ones used now; comments, order and spacing stay.

Exit status: 0 the file is up to date (now, or with --check: would be), 2 it cannot be read, written or upgraded.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan upgrade``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file, or a file of the circuit library")
    parser.add_argument("--check", action="store_true", help="write nothing, show what would change")


def run(args: argparse.Namespace) -> int:
    """Rewrite the file, or show how."""
    from pathlib import Path

    from fuseplan.cli.terminal import write
    from fuseplan.papers.harmless import shown
    from fuseplan.planfile.upgrade import upgrade_file

    found = upgrade_file(Path(args.plan), writes=not args.check)
    name = shown(args.plan)
    if not found.words:
        write(f"{name}: up to date, nothing to change")
    elif args.check:
        write("\n".join([f"{name}: would change", *map(shown, found.difference)]))
    else:
        write("\n".join([f"{name}: changed", *(f"  line {line}: {shown(words)}" for line, words in found.words)]))
    return 0
