"""List the checks a plan goes through, or explain one: what it means, its source, its fix, its caution, an example."""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan checks``."""
    parser.add_argument("name", metavar="NAME", nargs="?", help="a check, such as fuse-exceeds-wire; left out: all")


def run(args: argparse.Namespace) -> int:
    """Print the list or the check."""
    from fuseplan.checks.rule import all_rules
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.checks_text import check_list, check_text

    rules = all_rules()
    if args.name is None:
        write(check_list(rules, room(), painter()))
        return 0
    if args.name not in rules:
        from fuseplan.plan.references import accepted

        complain(f"fuseplan checks: there is no check '{args.name}'; {accepted(args.name, list(rules))}; "
                 "fuseplan checks lists all")
        return 2
    write(check_text(rules[args.name], room(), painter()))
    return 0
