"""Alternator, battery, cranking, standing and trips: the whole car's power, with curves.

Exit status: 0 nothing above advice among the power findings, 1 findings, 2 the plan cannot be read or the arguments are
wrong.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fuseplan.cli.options import check_name, limits_option

if TYPE_CHECKING:
    from pathlib import Path

    from fuseplan.checks.assessment import Assessment


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan power``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--trip", metavar="NAME", action="append", default=[],
                        help="drive this trip (commuter, wet_night_traffic, parked_two_weeks, or one of the plan's "
                        "own); may be given more than once")
    parser.add_argument("--condition", metavar="ID",
                        help="explain this condition load by load, not the worst running one")
    parser.add_argument("--loads", action="store_true",
                        help="also the load analysis of every circuit in every condition")
    parser.add_argument("--json", action="store_true", help="print the report as a document instead of text")
    parser.add_argument("--svg", metavar="FILE", help="also write the curves as an SVG file")
    limits_option(parser)


def run(args: argparse.Namespace) -> int:
    """Print the report."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.power_text import power_findings, power_text
    from fuseplan.planfile.limit_files import assessed

    assessment = assessed(args.plan, args.limit_set)
    power, network = assessment.results.power, assessment.results.network
    for name in args.trip:
        check_name(args.plan, "trip", name, power.trips)
    check_name(args.plan, "condition", args.condition, network.condition_ids)
    condition = None if args.condition is None else network.condition_ids.index(args.condition)
    if args.svg is not None:
        complain(f"written: {_write_pictures(assessment, args.svg, args.trip, condition)}")
    if args.json:
        from fuseplan.papers.json_text import to_json
        from fuseplan.results.document import to_document
        from fuseplan.results.power_report import PowerReport

        write(to_json(to_document(PowerReport(assessment, tuple(args.trip), condition))))
    else:
        write(power_text(assessment, args.trip, condition, args.loads, room(), painter()))
    return int(any(finding.level != "advice" for finding in power_findings(assessment)))


def _write_pictures(assessment: Assessment, path: str, trips: list[str], condition: int | None) -> Path:
    from fuseplan.errors import StoreError
    from fuseplan.papers.power_pictures import curve_picture, trip_picture
    from fuseplan.papers.svg import svg_page
    from fuseplan.planfile.outputs import write_picture

    power = assessment.results.power
    curve = power.curve(power.worst if condition is None else condition)
    pictures = [] if curve is None else [curve_picture(assessment, curve)]
    pictures += [trip_picture(trip) for trip in map(power.trip, trips) if trip is not None]
    if not pictures:
        raise StoreError(f"{path}: there is no curve to draw; needed are an alternator with its current, or a trip and "
                         "a battery with its capacity")
    return write_picture(svg_page(pictures), path)
