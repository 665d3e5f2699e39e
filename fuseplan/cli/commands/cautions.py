"""Print the safety cautions, each with its source, and where to stop."""

from __future__ import annotations

import argparse

from fuseplan.cli.options import check_name


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan cautions``."""
    parser.add_argument("topic", metavar="TOPIC", nargs="?", help="only this topic")


def run(args: argparse.Namespace) -> int:
    """Print the cautions."""
    from fuseplan.cli.terminal import painter, room, write
    from fuseplan.papers.cautions import cautions, notice, stop
    from fuseplan.papers.paragraphs import paragraph

    check_name("fuseplan cautions", "topic", args.topic, (each.topic for each in cautions()), 30)
    paint, columns = painter(), room()
    lines: list[str] = []
    for each in cautions():
        if args.topic in (None, each.topic):
            lines += [paint(f"{each.title} [{each.topic}]", "heading"), *paragraph(each.text, columns, "  "),
                      *paragraph(f"Source: {each.source}", columns, "  "), ""]
    write("\n".join([*lines, *paragraph(stop(), columns), "", *paragraph(notice(), columns, "⚠ ")]))
    return 0
