"""The change log of the plan, with room to write on."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.paper import Block, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.quantities import writing

_CHANGES = (TableColumn("date", "Date"), TableColumn("what", "What"), TableColumn("why", "Why"),
            TableColumn("who", "Who"))
_BLANK = tuple(TableColumn(column.key, column.heading, fill_in=True, by_hand_mm=wide)
               for column, wide in zip(_CHANGES, (22.0, 75.0, 60.0, 26.0), strict=True))
_LINES = 8


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The changes in the order of the plan, then blank lines."""
    plan = assessment.plan
    yield Pairs((("Revision", plan.vehicle.revision or "not named"),
                 ("Its date", plan.vehicle.revision_date or "not stated")))
    if plan.change:
        yield Table("changes", _CHANGES, tuple(
            (each.date, each.what, each.why or writing.NONE, each.who or writing.NONE)
            for each in plan.change), "Changes")
    else:
        yield Words("No change is entered in the plan.", "note")
    yield Table("by_hand", _BLANK, (("",) * len(_BLANK),) * _LINES, "Changed since, by hand",
                note="Enter it in the plan as well: what is written here alone is lost with the paper.")


SHEET = Sheet("change-log", "Change log", 150, "what was changed, when and why, with lines to go on", blocks)
