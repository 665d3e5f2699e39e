"""Start a plan: battery, alternator, zones, the usual feeds and earths, and circuits taken from the library.

A file that is already there is never overwritten.
"""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan new``."""
    parser.add_argument("plan", metavar="PLAN", help="the file to write; its name usually ends in .toml")
    parser.add_argument("--name", help="what the plan is for; left out: the file's name")
    parser.add_argument("--system", metavar="VOLTS", type=system_volts,
                        help="system voltage of the car: 6, 12 or 24 V; left out: a terminal is asked, else 12 V")
    parser.add_argument("--take", metavar="DEFINITION", action="append", default=[],
                        help="a circuit from the library (fuseplan circuits lists them); may be given several times; "
                             "without, a terminal is asked what is in the car")


def system_volts(text: str) -> str:
    """A system voltage as the first plan takes it; ArgumentTypeError where it takes none such."""
    from fuseplan.papers.harmless import shown
    from fuseplan.planfile.starter import SYSTEMS

    volts = text.strip().removesuffix("V").removesuffix("v").strip()
    if volts not in SYSTEMS:
        raise argparse.ArgumentTypeError(f"'{shown(text)}' is no system voltage a plan is started for; accepted are "
                                         f"{', '.join(SYSTEMS[:-1])} and {SYSTEMS[-1]} V. For another, start with one "
                                         "of these and change system under [vehicle] in the file")
    return volts


def run(args: argparse.Namespace) -> int:
    """Write the file."""
    import shlex
    import sys
    from pathlib import Path

    from fuseplan.cli.asking import ask, ask_system
    from fuseplan.cli.terminal import complain, room, write
    from fuseplan.errors import StoreError
    from fuseplan.grouping import grouped
    from fuseplan.papers.cautions import notice
    from fuseplan.papers.harmless import shown
    from fuseplan.papers.paragraphs import paragraph
    from fuseplan.planfile.library import definitions, other_voltage
    from fuseplan.planfile.starter import LIBRARY_SYSTEM, starter_plan, usual_circuits
    from fuseplan.planfile.write import write_new

    taken: list[str] = args.take
    known = definitions() if taken else {}
    wrong = [name for name in taken if name not in known]
    if wrong:
        from fuseplan.plan.references import accepted

        for name in wrong:
            complain(f"fuseplan new: the library holds no '{name}'; {accepted(name, list(known))}; "
                     "fuseplan circuits lists all")
        return 2
    path, system = Path(args.plan), args.system
    if not taken and sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty():
        if path.exists():
            raise StoreError(f"{shown(path)}: is there already; a first plan never overwrites a file")
        known = definitions()
        system = system or ask_system(system_volts, write, input, room())
        taken = ask(known, usual_circuits(system), write, input, room())
    system = system or LIBRARY_SYSTEM
    write_new(path, starter_plan(args.name or path.stem, taken, system))
    written = shown(shlex.quote(str(path)))
    chosen = [known[name] for name in dict.fromkeys(taken)]
    cautions = grouped((each.caution, each.title) for each in chosen if each.caution)
    for caution, titles in cautions.items():
        write("\n".join(paragraph(f"{shown('; '.join(titles))}: {shown(caution)}", room(), "⚠ ")))
    other = [each.title for each in chosen
             if any(other_voltage(table, float(system)) for table in each.circuits.values())]
    if other:
        write("\n".join(paragraph(
            f"{shown('; '.join(other))}: the library's figures are not those of {system} V parts. Enter the figures of "
            "the parts fitted; until then fuseplan check reports wrong-system-voltage.", room(), "⚠ ")))
    write("\n".join(paragraph(notice(), room(), "⚠ ")))
    write(f"written: {shown(path)}\n"
          "Next: measure the lengths and put in your own figures, then\n"
          f"  fuseplan {written}\n  fuseplan check {written}")
    return 0
