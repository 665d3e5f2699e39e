"""Show the working behind a figure: symbols, numbers, result, unit, table rows, choices, sources.

A figure is addressed by its path in the result document, as circuits.fuel_pump.fuse.range_a.low,
circuits.fuel_pump.segments.0.ampacity_a or conditions.idle_wet_night.balance_a; the first step may be left out. A part
(fuel_pump) lists its figures, a word finds parts and figures, nothing at all gives an overview.

Exit status: 0; 2 the plan cannot be read, or there is no such figure or set of limits.
"""

from __future__ import annotations

import argparse

from fuseplan.cli.options import limits_option


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan explain``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("address", metavar="ADDRESS", nargs="?", help="a figure, a part or a word")
    limits_option(parser)
    parser.add_argument("--json", action="store_true", help="print it as JSON")


def run(args: argparse.Namespace) -> int:
    """Print a working, a list of figures, or the overview."""
    from fuseplan.checks.explain import explain
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.papers.explain_text import found_text, listed, overview_text, part_text
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.working_text import working_text
    from fuseplan.planfile.limit_files import assessed
    from fuseplan.results.address import FigureSpot, Group
    from fuseplan.results.search import listing, matching, missed, resolve

    assessment = assessed(args.plan, args.limit_set)
    whole, typed = assessment.whole, args.address or ""
    if not typed:
        write(to_json(listed(listing(whole))) if args.json else overview_text(whole, room(), painter()))
        return 0
    found = resolve(whole, typed)
    if len(found) == 1 and isinstance(found[0], FigureSpot):
        working = explain(assessment, found[0])
        write(to_json(working.to_dict()) if args.json else working_text(working, room(), painter()))
    elif len(found) == 1:
        inner = found if isinstance(found[0], Group) else listing(found[0])
        write(to_json(listed(inner)) if args.json else part_text(found[0], room(), painter()))
    else:
        several = list(found) or matching(whole, typed)
        if not several:
            raise missed(whole, typed)
        write(to_json(listed(several)) if args.json else found_text(several, typed, room(), painter()))
    return 0
