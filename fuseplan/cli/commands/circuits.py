"""List the circuit library, or show one definition with its caution."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING

from fuseplan.cli.options import check_name

if TYPE_CHECKING:
    from fuseplan.planfile.library import Definition


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan circuits``."""
    parser.add_argument("name", metavar="NAME", nargs="?", help="show this definition")
    parser.add_argument("--group", metavar="GROUP", help="list only this group")


def run(args: argparse.Namespace) -> int:
    """Print the list or the definition."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.plan.references import accepted
    from fuseplan.planfile.library import library

    found = library()
    for problem in found.problems:
        complain(str(problem))
    known = found.definitions
    if args.name is not None:
        if args.name not in known:
            complain(f"fuseplan circuits: the library holds no '{args.name}'; {accepted(args.name, list(known))}")
            return 2
        write("\n".join(_one(known[args.name], room())))
        return 0
    groups = sorted({definition.group for definition in known.values()})
    check_name("fuseplan circuits", "group", args.group, groups, 30)
    chosen = groups if args.group is None else [args.group]
    write("\n".join(_list(known, chosen, room(), painter())))
    return 0


def _list(known: dict[str, Definition], groups: list[str], room: int, paint: Callable[[str, str], str]) -> list[str]:
    from fuseplan.papers.harmless import shown
    from fuseplan.papers.paragraphs import paragraph

    widest = max((len(name) for name in known), default=0)
    lines = []
    for group in groups:
        lines.append(paint(shown(group), "heading"))
        for name, definition in known.items():
            if definition.group == group:
                lines += paragraph(shown(definition.title), room, f"  {shown(name):<{widest}}  ")
    return [*lines, "", "fuseplan circuits NAME shows one; fuseplan new PLAN --take NAME starts a plan with it."]


def _one(definition: Definition, room: int) -> list[str]:
    from fuseplan.papers.harmless import shown
    from fuseplan.papers.paragraphs import paragraph

    lines = paragraph(f"{shown(definition.title)} [{shown(definition.id)}, group {shown(definition.group)}]", room)
    if definition.caution:
        lines += paragraph(shown(definition.caution), room, "⚠ ")
    if definition.note:
        lines += paragraph(shown(definition.note), room)
    if definition.also:
        lines += paragraph(shown(f"also called: {', '.join(definition.also)}"), room)
    lines += paragraph(f"from {shown(definition.origin)}", room)
    return [*lines, "", *(shown(line) for line in definition.text.splitlines())]
