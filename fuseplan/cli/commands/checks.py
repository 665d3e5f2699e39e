"""List the checks a plan goes through, or explain one: what it means, its source, its fix, its caution, an example."""

from __future__ import annotations

import argparse

from fuseplan.cli.options import check_name


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan checks``."""
    parser.add_argument("name", metavar="NAME", nargs="?", help="a check, such as fuse-exceeds-wire; left out: all")


def run(args: argparse.Namespace) -> int:
    """Print the list or the check."""
    from fuseplan.checks.rule import all_rules
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.papers.checks_text import check_list, check_text

    rules = all_rules()
    if args.name is None:
        write(check_list(rules, room(), painter()))
        return 0
    check_name("fuseplan checks", "check", args.name, rules, more="; fuseplan checks lists all")
    write(check_text(rules[args.name], room(), painter()))
    return 0
