"""No wire of a loom is left out of the table of pins, and the change log tells what each wire is now."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.looms.change_log import unlogged, what_was_done
from fuseplan.looms.loose_wires import loose_wires
from fuseplan.looms.rows import pin_rows
from fuseplan.papers.looms_text import looms_document, looms_report
from fuseplan.plan.nets import PinId
from fuseplan.workspace.looms import set_fate, write_log
from fuseplan.workspace.session import Session
from tests.plans import plan_of

from .two_looms import plan_data, text_of

END: dict[str, Any] = {"size": "0.5 mm2", "colour": "GN", "number": "W1"}
TO_PIN = {"connector": "plug", "pin": "1"}


def plan_with(**wire: Any) -> Any:
    return plan_of({"fuseplan": 1, "loom": {"engine": {"kind": "donor", "wire": [{**END, **wire}]}},
                    "connector": {"plug": {"loom": "engine", "pin": {"1": {"function": "one"}}}}})


@pytest.mark.parametrize(("wire", "ends"), [
    ({}, ("end not entered", "end not entered")),
    ({"start": TO_PIN}, ("plug pin 1", "end not entered")),
    ({"start": TO_PIN, "end": {"connector": "horn"}}, ("plug pin 1", "horn")),
    ({"end": {"splice": "S1"}}, ("end not entered", "splice S1")),
    ({"start": TO_PIN, "end": TO_PIN}, None),
])
def test_every_wire_of_a_loom_is_in_the_table_by_its_pins_or_by_itself(wire: dict[str, Any],
                                                                       ends: tuple[str, str] | None) -> None:
    plan = plan_with(**wire)
    assert [row.goes_to for row in loose_wires(plan)] == ([] if ends is None else [ends])
    report, document = looms_report(assess(plan), room=100), looms_document(assess(plan))
    assert ("end on no pin" in report) == (ends is not None)
    assert [each["goes_to"] for each in document["wires_on_no_pin"]] == ([] if ends is None else [list(ends)])
    by_pins = any("loom engine" in row.goes_to for row in pin_rows(plan))
    assert by_pins or ends is not None
    assert loose_wires(plan, "no such words") == []
    assert len(loose_wires(plan, "w1 gn")) == (ends is not None)


def test_a_join_is_in_the_log_with_what_it_is_joined_to_or_is_asked_for() -> None:
    """Joined to a wire that is not said, then to one, then by hand to another: each time the log tells or is asked."""
    session = Session.of_text(text_of(plan_data()))
    at, first, other = PinId("donor_bulkhead", "4"), PinId("dash", "4"), PinId("dash", "5")

    def to_write() -> list[PinId]:
        return [each for each, _ in unlogged(session.plan)]

    set_fate(session, at, "join", "lamp kept")
    assert session.plan.change[-1].what.endswith("joined, to what is open")
    assert to_write() == []
    set_fate(session, at, "join", "found it", first)
    line = session.plan.change[-1]
    assert (line.what.endswith("joined to dash pin 4"), line.why, bool(line.date)) == (True, "found it", True)
    set_fate(session, at, "join", "", first)
    assert len(session.plan.change) == 2, "said already"
    session.edit("by hand", lambda: session.document.change(
        [((*at.path, "join_to"), {"connector": other.connector, "pin": other.pin})]))
    assert to_write() == [at]
    assert write_log(session) == 1
    assert session.plan.change[-1].what.endswith("joined to dash pin 5")
    assert to_write() == []
    pin = session.plan.connector[at.connector].pin[at.pin]
    assert what_was_done(session.plan, at, pin) == session.plan.change[-1].what


def test_a_line_of_the_log_in_other_words_is_left_alone() -> None:
    data = copy.deepcopy(plan_data())
    data["connector"]["donor_bulkhead"]["pin"]["4"] |= {"fate": "join", "join_to": {"connector": "dash", "pin": "4"}}
    data["change"] = [{"date": "2026-01-02", "what": "soldered to the old lamp wire",
                       "wire": {"connector": "donor_bulkhead", "pin": "4"}}]
    assert unlogged(plan_of(data)) == []


def test_a_filter_shows_the_pins_that_are_called_so_before_those_that_lead_there() -> None:
    plan = plan_of(plan_data())
    for name in plan.connector:
        rows = [row.at.connector == name for row in pin_rows(plan, filter_text=name)]
        assert rows == sorted(rows, reverse=True)
        assert sum(rows) == len(plan.connector[name].pin)
