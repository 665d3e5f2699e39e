"""A swap from end to end: both looms pasted, everything found out, three plugs moved, and papers, list of what is open
and test sheet follow."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.bench.ready import ready
from fuseplan.build.facts import build_facts
from fuseplan.checks import assess
from fuseplan.looms.change_log import unlogged
from fuseplan.looms.probing import probes
from fuseplan.looms.to_do import countdown
from fuseplan.papers.paper import Table
from fuseplan.papers.paper_set import papers_of
from fuseplan.plan.nets import Nets, PinId
from fuseplan.plan.unknown_pins import blocking
from fuseplan.workspace.lists import PastedPins
from fuseplan.workspace.looms import Lengthening, set_fate
from fuseplan.workspace.session import Session
from tests.looms.two_looms import plan_data, supplied, text_of

COLUMNS = ("function", "signal", "colour", "size", "known", "fate", "feed", "earth", "twisted_with", "shield", "twists")
HEADS = tuple({"known": "how known", "twisted_with": "twisted with"}.get(key, key) for key in COLUMNS)
MOVED = ("ecu", "car_bulkhead", "sensors")


def pasted(pins: dict[str, dict[str, Any]]) -> str:
    """A table of pins as it is copied from a spreadsheet."""
    rows = [["pin", *HEADS]] + [[number, *(str(pin.get(key, "")) for key in COLUMNS)] for number, pin in pins.items()]
    return "\n".join("\t".join(row) for row in rows) + "\n"


def tables(session: Session, paper: str) -> dict[str, Table]:
    found, = papers_of(session.assessment, [paper])
    return {each.name: each for each in found.blocks if isinstance(each, Table)}


def test_a_swap_from_pasted_looms_to_papers() -> None:
    data = supplied(plan_data())
    pins = {name: connector.pop("pin") for name, connector in data["connector"].items()}
    session = Session.of_text(text_of(data))
    for name, listed in pins.items():
        taking = PastedPins(session, pasted(listed), name, 80)
        assert taking.can_be_taken, taking.preview
        taking.take()
    assert countdown(session.plan).cavities == 100
    assert {each.connector for each in blocking(Nets(session.plan))} == set(pins)

    for probe in probes(session.plan):
        set_fate(session, probe.unknown.at, "cut_and_insulate", "no use for it")
    assert not blocking(Nets(session.plan))
    assert len(session.plan.change) == 7
    assert {task.kind for task in countdown(session.plan).tasks} == {"sensor return"}  # sensors to ecu: no other ends

    for name in MOVED:
        Lengthening(session, [PinId(name, pin) for pin in session.plan.connector[name].pin], "30 cm").take("plug moved")
    assert unlogged(session.plan) == []
    facts = build_facts(session.assessment)
    longer = [piece for piece in facts.pieces if piece.is_cut]
    assert {piece.owner[1] for piece in longer} == set(MOVED)
    assert len(longer) == sum(pin.extension is not None for name in MOVED
                              for pin in session.plan.connector[name].pin.values()) > 40

    # What is added to a pair or a shielded cable is one length of cable.
    assert len(facts.cables) == 2
    in_cables = sum(len(cable.pieces) for cable in facts.cables)
    assert len(tables(session, "cut-list")["cut"].rows) == len(longer) - in_cables + len(facts.cables)
    assert len(tables(session, "connectors")["connectors"].rows) == 100
    bought = [line for line in facts.buying if line.group in ("Wire", "Cable")]
    assert sum(line.net or 0.0 for line in bought) == pytest.approx(
        sum(piece.cut_m or 0.0 for piece in longer if piece.key not in facts.cable_of)
        + sum(cable.cut_m or 0.0 for cable in facts.cables))
    joints = {line.name for line in facts.splices}
    assert {piece.start.splice for piece in longer} <= joints
    assert sum(line.net or 0.0 for line in facts.buying if line.group == "Joints") == len(longer)
    open_items = [item for item in ready(session.assessment) if item.subject[0] == "connector"]
    assert {item.subject[1] for item in open_items if item.kind == "unknown"} == {"sensors"}
    assert {item.subject[1] for item in open_items if item.kind == "unread"} == {*MOVED}
    assert assess(session.plan).findings == session.assessment.findings
    for _ in MOVED:
        session.undo()
    assert not any(piece.is_cut for piece in build_facts(session.assessment).pieces)
