"""Show the working behind a figure: symbols, numbers, result, unit, table rows, choices, sources.

Without a figure, what can be explained is listed. Figures are addressed like fuel_pump.fuse.window, fuel_pump.design,
fuel_pump.wire.0.ampacity, main_bus.resistance, power.idle_wet_night.balance.

Exit status: 0, or 2 where the plan cannot be read, the limits or the figure is not there.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan explain``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("figure", metavar="FIGURE", nargs="?",
                        help="address of the figure; one that ends in a dot lists what begins so")
    parser.add_argument("--limits", dest="limit_set", metavar="NAME",
                        help="judge by this set of published limits, not by the plan's own")
    parser.add_argument("--json", action="store_true", help="print the working as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the working, or the list of figures."""
    from fuseplan.checks.assessment import assess
    from fuseplan.checks.explain import explain, figures
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.working_text import figures_text, working_text
    from fuseplan.planfile.limit_files import read_judged

    assessment = assess(*read_judged(args.plan, args.limit_set))
    figure: str = args.figure or ""
    if not figure or figure.endswith("."):
        found = figures(assessment)
        if args.json:
            write(to_json([{"figure": address, "words": each.words, "value": each.value, "unit": each.unit}
                           for address, each in found.items() if address.startswith(figure)]))
        else:
            write(figures_text(found, room(), figure))
        return 0
    working = explain(assessment, figure)
    write(to_json(working.to_dict()) if args.json else working_text(working, room(), painter()))
    return 0
