"""The first-power card: step by step, with the bulb in the fuse's place, amps and volts to expect."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.first_power import first_power
from fuseplan.bench.ready import NO_CLAIM
from fuseplan.bench.sheet_sections import SECTIONS, disabled_until_cranked
from fuseplan.bench.signatures import SIGNED_ITEMS
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.paper import Block, Sheet, Table, TableColumn, TickBoxes, Wishes, Words
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing

_COLUMNS = (TableColumn("step", "Step"), TableColumn("part", "Part"), TableColumn("key", "Key"),
            TableColumn("do", "Do"), TableColumn("bulb", "Bulb"), TableColumn("expected", "Then expected"),
            TableColumn("amps", "Amps", fill_in=True), TableColumn("volts", "Volts", fill_in=True),
            TableColumn("done", "Done", fill_in=True))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Before the first step, the steps in their order, what waits."""
    notes = next(section.notes for section in SECTIONS if section.key == "first_power")
    yield Words(" ".join(notes), "danger")
    yield TickBoxes(("Readings of the section \"Before power\" taken, nothing shorted",
                     *(item.words for item in SIGNED_ITEMS if item.stage == "battery")))
    steps = first_power(assessment)
    rows = []
    for number, step in enumerate(steps, 1):
        glow = "" if step.glow is None else "dark" if step.glow.lamp_v < 0.05 else \
            f"dark, {writing.burden(step.glow.lamp_v, 'V')} across it"
        expected = "" if step.kind != "circuit" else writing.burden(step.current_a, "A")
        rows.append((str(number), step.title, step.key, step.words, glow, expected, "", "", ""))
    yield Table("steps", _COLUMNS, tuple(rows))
    waiting = [title_of(assessment.plan, "circuit", name) for name in disabled_until_cranked(assessment)]
    if waiting:
        yield Words(f"Their fuses stay out until the engine has been cranked: {', '.join(waiting)}.", "caution")
    yield Words(NO_CLAIM, "caution")


SHEET = Sheet("first-power-card", "First power", 83, "the order of first power, bulb by bulb, amps and volts to expect",
              blocks, landscape=True)
