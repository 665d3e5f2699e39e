"""What a list would put into a plan, as text to look at before anything is taken."""

from __future__ import annotations

from fuseplan.exchange.harness import Harness
from fuseplan.exchange.harness_into_plan import HarnessTaken
from fuseplan.exchange.mapping import ColumnMap
from fuseplan.exchange.table_files import Table
from fuseplan.exchange.taken import Taken
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

FIRST = 5
"""So many rows are shown."""


def preview_text(table: Table, mapping: ColumnMap, taken: Taken, room: int = 100, paint: Paint = unpainted) -> str:
    """The file, how its columns are read, its first rows as they would be taken, and what is wrong."""
    lines = [paint(line, "heading") for line in paragraph(
        f"{shown(table.file)}: {mapping.which.name}, each row {mapping.which.words}; "
        f"{writing.counted(len(table.rows), 'row')}", room)]
    lines += [line for note in table.notes for line in paragraph(shown(note), room, "  ")]
    lines += ["", paint("Columns", "heading")]
    for key, column in mapping.columns.items():
        unit = f", in {shown(column.unit)}" if column.unit else ""
        lines += paragraph(f"{key} ← '{shown(column.heading)}'{unit}", room, "  ")
    for key, value in mapping.fixed.items():
        lines += paragraph(f"{key} = {shown(value)} where a row leaves it empty", room, "  ")
    unread = mapping.unread(table)
    if unread:
        lines += paragraph("Not read: " + ", ".join(f"'{shown(head)}'" for head in unread), room, "  ")
    if taken.rows:
        lines += ["", paint(f"First rows ({min(FIRST, len(taken.rows))} of {len(taken.rows)})", "heading")]
        for entry, said in taken.rows[:FIRST]:
            words = "; ".join(f"{key} {shown(value)}" for key, value in said.items()) or "nothing said"
            lines += paragraph(f"{shown(entry)}: {words}", room, "  ", "    ")
    if taken.problems:
        lines += ["", paint(f"Wrong ({len(taken.problems)}): nothing is taken until this is put right", "danger")]
        lines += [line for each in taken.problems for line in paragraph(shown(str(each)), room, "  ", "    ")]
    return "\n".join(lines) + "\n"


def harness_preview(file: str, harness: Harness, taken: HarnessTaken, room: int = 100, paint: Paint = unpainted) -> str:
    """What a harness description holds, its first connectors as they would be taken, and what it does not say."""
    counts = [writing.counted(sum(each.usage == usage for each in harness.connectors), usage)
              for usage in ("connector", "splice", "ring terminal")]
    metres = writing.measured(sum(wire.length_m or 0.0 for wire in harness.wires), "m")
    lines = [paint(line, "heading") for line in paragraph(
        f"{shown(file)}: harness '{shown(harness.name)}'; {writing.counted(len(harness.wires), 'wire')}, {metres} "
        f"together; {', '.join(counts)}; {writing.counted(len(harness.segments), 'length', 'lengths')} of loom", room)]
    lines += [line for note in taken.notes for line in paragraph(shown(note), room, "  ")]
    found = [(path[-1], value) for path, value in taken.changes if path[0] == "connector"]
    lines += ["", paint(f"First connectors ({min(FIRST, len(found))} of {len(found)})", "heading")]
    for name, value in found[:FIRST]:
        pins = value.get("pin", {}) if isinstance(value, dict) else {}
        said = first_few([f"{pin} {shown(each.get('function', 'no wire'))}" for pin, each in pins.items()], FIRST,
                         between="; ")
        lines += paragraph(f"{shown(name)}: {said}", room, "  ", "    ")
    return "\n".join([*lines, "", *paragraph(FATE, room)]) + "\n"


FATE = ("Every pin comes as known from a diagram, its fate unknown: measure it, and decide what becomes of its wire, "
        "before anything is powered.")
