"""What a reading would save is what is proposed once it is taken, and never what has another reason."""

from __future__ import annotations

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.quantities.wire_size import WireSize
from tests.advice.test_a_surge_that_is_measured_first_asks_for_no_copper import fan
from tests.advice.worlds import around
from tests.plans import cabin_wire, circuit_text, load

ROAD = limit_set("road")


def blower(evidence: str, **keys: object) -> Plan:
    return around(circuit_text("thing", load("13 A", evidence=evidence, range=["10 A", "30 A"], inrush=1, **keys),
                               fuse={"kind": "maxi"}, wire=cabin_wire("10 mm2", "1 m", "pvc105")))


def proposed(plan: Plan) -> Proposal:
    return propose(plan, ROAD)


def test_a_published_range_asks_for_a_reading_and_says_what_it_saves() -> None:
    """30 A ask for 40 A of a fuse, 13 A for 17.9 A with the 3 % of a reading: a 20 A maxi fuse (Littelfuse 299) is the
    smallest there is, and a thinner wire allows it."""
    found = proposed(blower("published"))
    [saving] = found.savings
    assert saving.circuit == "thing"
    assert saving.up_to_a == pytest.approx(13.0, rel=0.03)
    assert (saving.proposed.rating_a, saving.measured.rating_a) == (40.0, 20.0)
    assert saving.measured.sizes != saving.proposed.sizes
    text = propose_text(found)
    assert "Measure first: it would save (1)" in text
    assert "a 20 A fuse and" in text


def test_with_the_reading_taken_what_was_promised_passes() -> None:
    [saving] = proposed(blower("published")).savings
    plan = blower("measured")
    circuit = plan.circuit["thing"]
    wire = tuple(segment.model_copy(update={"size": WireSize.read(size)})
                 for segment, size in zip(circuit.wire, saving.measured.sizes, strict=True))
    assert circuit.fuse is not None
    rating = amount(f"{saving.measured.rating_a:g} A", CURRENT)
    circuit = circuit.model_copy(update={"wire": wire, "fuse": circuit.fuse.model_copy(update={"rating": rating})})
    after = assess(plan.model_copy(update={"circuit": {"thing": circuit}}), "road")
    assert not [each.message for each in after.findings if each.level != "advice" or each.measure]


def test_a_smaller_fuse_is_not_promised_where_the_start_may_blow_it_whatever_the_running_current() -> None:
    """60 A, counted as lasting 0.092 s, has 330 A²s: a 15 A standard blade fuse may blow at 135 A²s (its printed
    0.15 s at 200 %, Littelfuse 287)."""
    found = proposed(parse_plan(starter_plan("new", ("vacuum_pump",))))
    assert [each.measure for each in found.after.findings if each.check == "blows-at-switch-on"] == [True]
    assert not found.savings


def test_a_reading_that_saves_by_another_type_of_fuse_says_which() -> None:
    """47 A that falls off within 1.3 s blows a 20 A standard blade fuse, not a 20 A maxi one (Littelfuse 287, 299)."""
    plan = around(fan("published", ', size = "6 mm2"', current="9.4 A", where="bay",
                      surge='inrush = 5\ninrush_time = "1.3 s"\nat = "13.5 V"'))
    found = proposed(plan)
    [saving] = found.savings
    assert (saving.proposed.kind, saving.measured.kind) == ("blade", "maxi")
    words = " ".join(propose_text(found).split())
    assert "a 20 A maxi blade fuse and 1.5 mm²" in words
    assert "instead of a 40 A standard blade fuse and 6 mm²" in words


def test_what_is_measured_or_has_another_reason_is_not_promised() -> None:
    assert not proposed(blower("measured")).savings
    assert not proposed(blower("published", kind="motor", use="momentary")).savings


def test_a_kept_wire_is_not_promised_thinner() -> None:
    wire = [{**cabin_wire("10 mm2", "1 m", "pvc105")[0], "origin": "existing"}]
    plan = around(circuit_text("thing", load("13 A", evidence="published", range=["10 A", "30 A"], inrush=1),
                               fuse={"kind": "maxi"}, wire=wire))
    [saving] = proposed(plan).savings
    assert saving.measured.sizes == saving.proposed.sizes == ()
