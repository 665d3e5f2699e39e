"""What ``fuseplan looms`` prints: how far the looms are, what to probe first, the pins, and the functions to merge."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.grouping import grouped
from fuseplan.looms.functions import GROUPS
from fuseplan.looms.loose_wires import loose_wires
from fuseplan.looms.merging import Merge, counts, merges
from fuseplan.looms.probing import Probe
from fuseplan.looms.rows import By, PinRow, pin_rows
from fuseplan.looms.to_do import BLOCKING, Countdown, countdown
from fuseplan.papers.cautions import caution, notice
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import section
from fuseplan.papers.loom_columns import (
    LOOSE_COLUMNS,
    PIN_COLUMNS,
    SPLICE_COLUMNS,
    merge_columns,
    merge_document,
    splice_rows,
)
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.text import findings_lines, title_lines
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import mates_of
from fuseplan.plan.part_names import in_words, title_of
from fuseplan.quantities import writing

ALSO = "--json too"
_MOST_PROBES = 12
NONE = ("The plan has no connectors yet. Enter a loom and its connectors, or take a list of pins from a CSV or XLSX "
        "file (`fuseplan import`).")


NOTHING_BLOCKS = "Nothing about the looms blocks power"


def looms_report(assessment: Assessment, connector: str | None = None, by: By = "connector", room: int = 100,
                 paint: Paint = unpainted) -> str:
    """The whole report on the looms, or on one connector."""
    plan = assessment.plan
    parts: list[list[str]] = [title_lines(assessment, room, paint)]
    if not plan.connector:
        parts.append(paragraph(NONE, room))
    else:
        left = countdown(plan)
        if connector is None:
            parts += [summary_lines(plan, left, room, paint), _probes(plan, left, None, room, paint),
                      _tasks(left, room, paint)]
        else:
            parts += [_connector(plan, connector, room, paint), _probes(plan, left, connector, room, paint)]
        rows = [row for row in pin_rows(plan, by) if connector in (None, row.at.connector)]
        parts.append(section(f"Pins by {by}", rows, PIN_COLUMNS, room, paint, ALSO) or ["No pin is entered yet."])
        if connector is None:
            parts.append(section("Wires of the looms that end on no pin", loose_wires(plan), LOOSE_COLUMNS, room, paint,
                                 ALSO))
            parts.append(section("Splices", splice_rows(plan), SPLICE_COLUMNS, room, paint, ALSO))
        found = [each for each in _findings(assessment) if connector in (None, each.subject)]
        parts.append(findings_lines(found, assessment, room, paint) or ["No findings about connectors."])
    parts.append(_cautions(room))
    return joined_parts(parts)


def merge_report(assessment: Assessment, room: int = 100, paint: Paint = unpainted) -> str:
    """Every function wanted against what each loom offers, and what can be done about what does not fit."""
    found = merges(assessment.plan)
    parts: list[list[str]] = [title_lines(assessment, room, paint)]
    if not found:
        parts.append(paragraph("The plan has no looms yet: enter [loom.NAME] with its kind, and the loom of each "
                               "connector.", room))
    else:
        words = ", ".join(f"{number} {state}" for state, number in counts(found).items())
        parts.append([paint("Looms of car and engine", "heading"), *paragraph(words, room, "  ")])
    for group in (*GROUPS, "other"):
        rows = [row for row in found if row.group == group]
        lines = section(group.capitalize(), rows, merge_columns(assessment.plan), room, paint, ALSO)
        for row in rows:
            if row.is_open:
                lines += to_do_lines(row, room)
        parts.append(lines)
    parts.append(_cautions(room))
    return joined_parts(parts)


def to_do_lines(row: Merge, room: int) -> list[str]:
    """What can be done about one function, how it is found out, and the source."""
    found = paragraph(f"{row.name}, {row.state}: {row.to_do}. [{row.source}]", room, "  → ", "    ")
    return found + (paragraph(f"Find out: {row.measure}.", room, "    ") if row.measure else [])


def summary_lines(plan: Plan, left: Countdown, room: int, paint: Paint = unpainted) -> list[str]:
    """How far the looms are, and whether anything about them blocks power."""
    state = NOTHING_BLOCKS if left.is_ready else f"NOT READY FOR POWER: {len(left.blocking)} to settle first"
    looms = "; ".join(f"{title_of(plan, 'loom', name)} ({loom.kind})" for name, loom in plan.loom.items())
    unlogged = sum(task.kind == "log" for task in left.tasks)
    words = (f"{writing.counted(left.cavities, 'cavity', 'cavities')} in "
             f"{writing.counted(len(plan.connector), 'connector')}, {left.settled} settled, "
             f"{left.unknown} unknown")
    if unlogged:
        words += f"; {unlogged} changed wires not in the change log"
    return [paint("Looms", "heading"), *paragraph(f"{state}.", room, "  "), *paragraph(f"{words}.", room, "  "),
            *(paragraph(f"Looms: {shown(looms)}", room, "  ") if looms else [])]


def _connector(plan: Plan, name: str, room: int, paint: Paint) -> list[str]:
    part = plan.connector[name]
    mate = mates_of(plan).get(name)
    facts = [("loom", part.loom and title_of(plan, "loom", part.loom)),
             ("plugs into", mate and title_of(plan, "connector", mate)),
             ("which is on", part.plugged_into and part.plugged_into.replace("_", " ")), ("family", part.family),
             ("tab size", part.tab_size), ("cavities", part.cavities), ("place", part.place),
             ("seal", part.seal and part.seal.replace("_", " "))]
    stated = "; ".join(f"{words}: {value}" for words, value in facts if value is not None)
    return [paint(f"Connector {shown(part.name or name)} [{shown(name)}]", "heading"),
            *paragraph(shown(stated), room, "  ")]


def _probes(plan: Plan, left: Countdown, connector: str | None, room: int, paint: Paint) -> list[str]:
    found = [each for each in left.probes if connector in (None, each.unknown.at.connector)]
    if not found:
        return []
    lines = [paint("What to find out, first what blocks most", "heading")]
    for number, each in enumerate(found[:_MOST_PROBES], start=1):
        lines += probe_lines(plan, each, room, f"  {number}. ")
    if len(found) > _MOST_PROBES:
        lines += paragraph(f"and {len(found) - _MOST_PROBES} more; --json lists them all.", room, "  ")
    return lines


def blocked_words(plan: Plan, each: Probe) -> str:
    """The plugs that get no power until an unknown is found out, to stand behind it; empty where it blocks none."""
    names = ", ".join(in_words(plan, "connector", name) for name in each.blocks)
    return f"; blocks power on {names}" if names else ""


def probe_lines(plan: Plan, each: Probe, room: int, first: str = "") -> list[str]:
    """One unknown: what is not known and what it blocks, how it is found out, what is expected."""
    rest = " " * len(first)
    found = paragraph(shown(f"{each.unknown.words(plan)}{blocked_words(plan, each)}"), room, first, rest)
    found += paragraph(shown(f"{each.how}."), room, f"{rest}→ ", f"{rest}  ")
    return found + (paragraph(shown(f"Expected: {each.expect}."), room, f"{rest}  ") if each.expect else [])


def _tasks(left: Countdown, room: int, paint: Paint) -> list[str]:
    """What is to be done besides; what is done alike stands together."""
    alike = grouped(((task.kind, task.how), task.words) for task in left.tasks if task.kind != "unknown")
    lines = [paint("To do besides", "heading")] if alike else []
    for (_, how), words in alike.items():
        for each in words:
            lines += paragraph(shown(each), room, "  · ", "    ")
        lines += paragraph(shown(f"{how}."), room, "    → ", "      ") if how else []
    return lines


def _findings(assessment: Assessment) -> list[Finding]:
    return [each for each in assessment.findings if each.subject_kind == "connector"]


def _cautions(room: int) -> list[str]:
    return [*paragraph(caution("test_leads").text, room, "⚠ "), *paragraph(caution("airbag").text, room, "⚠ "),
            *paragraph(notice(), room, "⚠ ")]


def looms_document(assessment: Assessment, connector: str | None = None) -> dict[str, Any]:
    """The same as plain data."""
    plan = assessment.plan
    left = countdown(plan)
    return {
        "plan": plan.vehicle.name, "limits": assessment.limit_set.name,
        "cavities": left.cavities, "settled": left.settled, "unknown": left.unknown, "ready": left.is_ready,
        "to_do": [{"kind": task.kind, "connector": task.subject.connector, "pin": task.subject.pin or None,
                   "words": task.words, "how": task.how or None, "blocks_power": task.kind in BLOCKING}
                  for task in left.tasks if connector in (None, task.subject.connector)],
        "probes": [{"connector": each.unknown.at.connector, "pin": each.unknown.at.pin or None,
                    "lacks": list(each.unknown.lacks), "cavities": each.unknown.cavities, "cost": each.cost_words,
                    "how": each.how, "expect": each.expect or None, "blocks": list(each.blocks)}
                   for each in left.probes if connector in (None, each.unknown.at.connector)],
        "splices": [{"splice": row.name, "wires": list(row.wires), "barrel_mm2": row.barrel_mm2}
                    for row in splice_rows(plan)] if connector is None else [],
        "wires_on_no_pin": [
            {"loom": row.loom, "wire": row.words, "size": None if row.segment.size is None else str(row.segment.size),
             "colour": row.segment.colour, "goes_to": list(row.goes_to), "lacks": list(row.lacks)}
            for row in loose_wires(plan)] if connector is None else [],
        "pins": [_pin(row) for row in pin_rows(plan) if connector in (None, row.at.connector)],
    }


def _pin(row: PinRow) -> dict[str, Any]:
    pin = row.pin
    return {"connector": row.at.connector, "pin": row.at.pin, "loom": row.connector.loom, "function": pin.function,
            "signal": pin.signal, "size": None if pin.size is None else str(pin.size), "colour": pin.colour,
            "known": pin.known, "fate": pin.fate, "splice": pin.splice, "goes_to": list(row.goes_to),
            "lacks": list(row.lacks)}


def merge_documents(assessment: Assessment) -> dict[str, Any]:
    """The functions to be merged as plain data."""
    found = merges(assessment.plan)
    return {"plan": assessment.plan.vehicle.name, "limits": assessment.limit_set.name, "counts": dict(counts(found)),
            "functions": [merge_document(row) for row in found]}
