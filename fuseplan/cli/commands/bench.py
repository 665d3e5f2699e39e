"""The test sheet beside the car: what to measure where, what to expect, readings and what they say.

--read and --from store readings in the plan, --accept puts a reading in the place of the plan's own figure, --sign
records that something has been done; comments and everything else in the file stay. Without them it prints how far the
sheet is, which readings are not ok, and the next row to read; with --section or --full, the rows themselves.

Exit status: 0 no reading is a fault (with --ready: nothing is open, with --diagnose: all that was read is diagnosed and
within tolerance), 1 at least one is, 2 the plan cannot be read or written, a reading is refused, or the arguments are
wrong.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fuseplan.cli.options import check_name

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan bench``."""
    parser.add_argument("plan", metavar="PLAN", help="the plan's file")
    parser.add_argument("--section", metavar="NAME", action="append", default=[],
                        help="only this section: before_power, first_power, static, cranking, charging, full_load, "
                        "heat, drain or reserve; may be given more than once")
    parser.add_argument("--full", action="store_true", help="print every row of every section, or of those "
                        "named: those too that are asked for only when another is not ok")
    parser.add_argument("--temperature", metavar="T", help="temperature of the car, for the limits of battery and "
                        "charging; left out: that of the battery in the plan, else 20 degC")
    parser.add_argument("--csv", action="store_true", help="print the sheet as CSV, to be filled in")
    parser.add_argument("--json", action="store_true", help="print as JSON")
    parser.add_argument("--ready", action="store_true",
                        help="print what is open before the battery is connected, before the control unit is plugged "
                        "in, before cranking, before driving")
    parser.add_argument("--diagnose", metavar="CIRCUIT", nargs="?", const="",
                        help="say what its readings mean: the most probable faults first, and what to read next; "
                        "without CIRCUIT the first fault of every circuit that was read")
    parser.add_argument("--read", metavar="POINT=VALUE", action="append", default=[],
                        help="store a reading, such as circuit.fuel_pump.current=6.2 or battery.volts@crank=9.9; "
                        "may be given more than once")
    parser.add_argument("--from", dest="file", metavar="FILE",
                        help="store the readings of a filled sheet, CSV or XLSX, by its columns point and reading")
    parser.add_argument("--condition", metavar="NAME",
                        help="condition the readings were taken in; left out: the usual one of each point, or the only "
                        "one it is read in on the sheet")
    parser.add_argument("--instrument", metavar="WORDS", help="meter they were taken with")
    parser.add_argument("--date", metavar="DATE", help="day they were taken; left out: today")
    parser.add_argument("--anyway", action="store_true", help="store them although something about them is odd")
    parser.add_argument("--accept", metavar="POINT", action="append", default=[],
                        help="let the plan take over the last reading of this point, or of POINT@CONDITION: a "
                        "current becomes its load's, a drop becomes a resistance")
    parser.add_argument("--sign", metavar="ITEM", action="append", default=[],
                        help="sign for something of the list of --ready, by its name")
    parser.add_argument("--who", metavar="NAME", help="who signs")


def run(args: argparse.Namespace) -> int:
    """Store what was read, then print the sheet or what is open."""
    from fuseplan.checks.assessment import assess
    from fuseplan.cli.terminal import complain
    from fuseplan.planfile.document import PlanDocument
    from fuseplan.workspace.bench import Asked, BenchRefusal, store

    asked = Asked(tuple(args.read), args.file, args.condition, args.instrument, args.date, args.anyway,
                  tuple(args.accept), tuple(args.sign), args.who)
    document = PlanDocument.open(args.plan)
    if not asked.is_nothing:
        try:
            done = store(document, asked)
        except BenchRefusal as refusal:
            for line in refusal.lines:
                complain(f"{args.plan}: {line}")
            return 2
        document.save()
        for line in done.said:
            complain(line)
        if not (args.ready or args.full or args.section or args.csv or args.json or args.diagnose is not None):
            return int(done.fault)
    if args.diagnose is not None:
        return _diagnose(args, assess(document.plan))
    return _print(args, assess(document.plan))


def _diagnose(args: argparse.Namespace, assessment: Assessment) -> int:
    from fuseplan.bench.diagnosis import why_not
    from fuseplan.bench.diagnosis_points import SUPPLY
    from fuseplan.bench.diagnosis_readings import diagnosed, drain_was_read, read_circuits, supply_was_read
    from fuseplan.bench.drain_hunt import DRAIN
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.diagnosis_text import diagnosis_document, diagnosis_lines, overview_lines
    from fuseplan.papers.json_text import to_json

    circuit: str = args.diagnose
    if not circuit:
        read, not_diagnosed = read_circuits(assessment)
        found = [diagnosed(assessment, each) for each in read]
        if supply_was_read(assessment):
            found.append(diagnosed(assessment, SUPPLY))
        if drain_was_read(assessment):
            found.append(diagnosed(assessment, DRAIN))
        write(to_json({"circuits": [diagnosis_document(each) for each in found],
                       "not_diagnosed": [{"circuit": name, "why": why} for name, why in not_diagnosed.items()]})
              if args.json else
              "\n".join(overview_lines(found, list(not_diagnosed.values()), assessment, room(), painter())))
        return int(bool(not_diagnosed) or any(each.suspects[0].fault.kind != "healthy" for each in found))
    check_name(args.plan, "circuit", circuit, assessment.plan.circuit)
    refused = why_not(assessment, circuit)
    if refused:
        complain(f"{args.plan}: {refused}")
        return 2
    one = diagnosed(assessment, circuit)
    write(to_json(diagnosis_document(one)) if args.json else
          "\n".join(diagnosis_lines(one, assessment, room(), painter())))
    return int(one.suspects[0].fault.kind != "healthy")


def _print(args: argparse.Namespace, assessment: Assessment) -> int:
    from fuseplan.bench.readings import readings_of
    from fuseplan.bench.ready import ready
    from fuseplan.bench.sheet import sheet_of
    from fuseplan.bench.sheet_sections import SECTIONS
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.bench_table import sheet_table
    from fuseplan.papers.bench_text import (
        ready_document,
        ready_lines,
        sheet_document,
        sheet_lines,
        sheet_overview_lines,
    )
    from fuseplan.papers.json_text import to_json
    from fuseplan.papers.writers.csv_tables import csv_of
    from fuseplan.quantities.amounts import TEMPERATURE, amount

    if args.ready:
        items = ready(assessment)
        write(to_json(ready_document(items)) if args.json else "\n".join(ready_lines(items, room(), painter())))
        return int(bool(items))
    keys = [section.key for section in SECTIONS]
    for name in args.section:
        check_name(args.plan, "section", name, keys, 10)
    for lost in readings_of(assessment)[1]:
        complain(f"{args.plan}: not counted: {lost.words}")
    at = None if args.temperature is None else float(amount(args.temperature, TEMPERATURE))
    sheet = sheet_of(assessment, at, args.section or None)
    if args.json:
        write(to_json(sheet_document(sheet)))
    elif args.csv:
        write(csv_of(sheet_table(sheet)).replace("\r\n", "\n"))
    else:
        lines = sheet_lines(sheet, room(), painter(), full=args.full) if args.full or args.section else \
            sheet_overview_lines(sheet, room(), painter())
        write("\n".join(lines))
    return int(any(row.verdict is not None and row.verdict.level == "fault" for each in sheet for row in each.rows))
