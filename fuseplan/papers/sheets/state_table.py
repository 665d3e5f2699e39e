"""The state table: which circuits have voltage in which position of the key."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.papers.columns import BY_KEY, VERDICT_WORDS
from fuseplan.papers.paper import Block, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.words import STATES

_LIVE, _DEAD = "LIVE", "–"


def _cell(assessment: Assessment, view: JudgedCircuit, number: int) -> str | None:
    """What a circuit is in one position of the key; None where it is fed from nowhere known."""
    if view.circuit.feed is None:
        return None
    live = bool(assessment.results.network.circuit_live[view.index, number])
    if live:
        return f"{_LIVE}, must not be" if STATES[number] in view.circuit.must_stop else _LIVE
    return "dead, must be live" if STATES[number] in view.circuit.must_run else _DEAD


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Circuits × positions of the key; text in every cell, so that it reads in black and white."""
    yield Words(f"{_LIVE}: the circuit's feed, and its relay's coil if it has one, have voltage in that position of "
                f"the key; its own switch may still be open. {_DEAD}: no voltage by the plan. Measure before you touch "
                "it.")
    yield Table("states", (
        TableColumn("circuit", "Circuit"), TableColumn("feed", "Feed"),
        *(TableColumn(state, state.replace("_", "-").capitalize()) for state in STATES),
        TableColumn("verdict", "Verdict")), tuple(
            (view.name, BY_KEY["feed"].cell(view), *(_cell(assessment, view, number) for number in range(len(STATES))),
             VERDICT_WORDS[view.verdict]) for view in assessment.circuits))


SHEET = Sheet("state-table", "State table", 80, "circuits × key positions: what has voltage when", blocks)
