"""List the circuit library, show one definition with its caution, or list what a word fits."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING

from fuseplan.cli.options import check_name

if TYPE_CHECKING:
    from fuseplan.planfile.library import Definition


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan circuits``."""
    parser.add_argument("name", metavar="NAME", nargs="?",
                        help="show this definition, or list those that a word fits; American words are found too")
    parser.add_argument("--group", metavar="GROUP", help="list only this group")


def run(args: argparse.Namespace) -> int:
    """Print the list or the definition."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.plan.references import accepted
    from fuseplan.planfile.library import library
    from fuseplan.workspace.library_search import search

    found = library()
    for problem in found.problems:
        complain(str(problem))
    known = found.definitions
    if args.name in known:
        write("\n".join(_one(known[args.name], room())))
        return 0
    groups = sorted({definition.group for definition in known.values()})
    check_name("fuseplan circuits", "group", args.group, groups, 30)
    listed = {name: each for name, each in known.items() if args.group in (None, each.group)}
    if args.name is not None:
        listed = {each.id: each for each in search(listed.values(), args.name)}
        if not listed:
            complain(f"fuseplan circuits: the library holds no '{args.name}'; {accepted(args.name, list(known))}")
            return 2
    write("\n".join(_list(listed, room(), painter())))
    return 0


def _list(known: dict[str, Definition], room: int, paint: Callable[[str, str], str]) -> list[str]:
    from fuseplan.papers.harmless import shown
    from fuseplan.papers.paragraphs import paragraph

    widest = max((len(name) for name in known), default=0)
    lines = []
    for group in sorted({definition.group for definition in known.values()}):
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
