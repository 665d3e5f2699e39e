"""The state table: which feeds and circuits have voltage in which position of the key."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import build_facts
from fuseplan.build.states import StateLine
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import CHECK, verdict_words
from fuseplan.papers.paper import Block, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.part_names import owner_title
from fuseplan.plan.words import STATES

_LIVE, _DEAD = "LIVE", "–"
_COLUMNS = (*(TableColumn(state, state.replace("_", "-").capitalize()) for state in STATES), CHECK)


def _cell(line: StateLine, number: int) -> str | None:
    """What a feed or circuit is in one position of the key; None where it is fed from nowhere known."""
    if not line.fed:
        return None
    if line.live[number]:
        return f"{_LIVE}, must not be" if line.must_stop[number] else _LIVE
    return "dead, must be live" if line.must_run[number] else _DEAD


def _rows(assessment: Assessment, lines: list[StateLine]) -> tuple[tuple[str | None, ...], ...]:
    return tuple((owner_title(assessment.plan, (line.kind, line.id)),
                  *(_cell(line, number) for number in range(len(STATES))),
                  verdict_words(assessment, (line.kind, line.id)))
                 for line in lines)


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Feeds, then circuits, by positions of the key; text in every cell, so that it reads in black and white."""
    lines = build_facts(assessment).states
    yield Words(f"{_LIVE}: the feed, and its relay's coil if it has one, have voltage in that position of the key; a "
                f"circuit's own switch may still be open. {_DEAD}: no voltage by the plan. Measure before you touch "
                "it.")
    for kind, name, title in (("feed", "feeds", "Feeds"), ("circuit", "states", "Circuits")):
        found = [line for line in lines if line.kind == kind]
        if found:
            yield Table(name, (TableColumn(kind, kind.capitalize()), *_COLUMNS), _rows(assessment, found), title)


SHEET = Sheet("state-table", "State table", 80, "feeds and circuits × key positions: what has voltage when", blocks)
