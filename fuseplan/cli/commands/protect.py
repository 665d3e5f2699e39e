"""Short circuits and fuses: every protective device, or the time-current diagram of one circuit.

The diagram shows the fuse's published time-current band, the wire's limit, load and inrush current, the short at the
far end and the fuse above. Exit status: 0 nothing above advice about protection, 1 findings, 2 the plan cannot be read
or the arguments are wrong.
"""

from __future__ import annotations

import argparse

from fuseplan.cli.options import check_name, limits_option


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan protect``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("circuit", metavar="CIRCUIT", nargs="?",
                        help="draw this circuit; left out: a table of all devices")
    parser.add_argument("--svg", metavar="FILE", help="also write the circuit's picture as an SVG file")
    parser.add_argument("--json", action="store_true", help="print the figures as a document instead of text")
    limits_option(parser)


def run(args: argparse.Namespace) -> int:
    """Print the picture or the table."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.protect_text import (
        PROTECTION_CHECKS,
        circuit_document,
        devices_document,
        devices_report,
        protect_report,
        protection_findings,
        silent_words,
    )
    from fuseplan.planfile.limit_files import assessed

    if args.svg is not None and args.circuit is None:
        complain("fuseplan protect: --svg draws one circuit; accepted is fuseplan protect PLAN CIRCUIT --svg FILE")
        return 2
    assessment = assessed(args.plan, args.limit_set)
    circuit: str | None = args.circuit
    check_name(args.plan, "circuit", circuit, assessment.plan.circuit)
    if circuit is None:
        if args.json:
            from fuseplan.papers.json_text import to_json

            write(to_json(devices_document(assessment)))
        else:
            write(devices_report(assessment, room(), painter()))
        found = list(assessment.findings)
    else:
        if args.svg is not None:
            silent = silent_words(assessment.circuit(circuit))
            if silent is not None:
                complain(f"{args.plan}: {silent}")
                return 2
            from fuseplan.papers.svg import svg_page
            from fuseplan.papers.time_current import time_current
            from fuseplan.planfile.outputs import write_picture

            page = svg_page([time_current(assessment, circuit)[0]])
            complain(f"written: {write_picture(page, args.svg)}")
        if args.json:
            from fuseplan.papers.json_text import to_json

            write(to_json(circuit_document(assessment, circuit)))
        else:
            write(protect_report(assessment, circuit, room(), painter()))
        found = protection_findings(assessment.circuit(circuit))
    return int(any(each.check in PROTECTION_CHECKS and each.level != "advice" for each in found))
