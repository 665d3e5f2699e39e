"""Laws of whatever looms: nothing unknown is lost or comes out as settled, and settling a wire never blocks more."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.checks import assess
from fuseplan.errors import EditError
from fuseplan.looms.extending import longer
from fuseplan.looms.merging import merges
from fuseplan.looms.probing import probes
from fuseplan.looms.rows import pin_rows
from fuseplan.looms.to_do import countdown
from fuseplan.papers.looms_text import looms_document, looms_report, merge_report
from fuseplan.plan.mating import disagreements, matings
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import Nets, mates_of, pins_of
from fuseplan.plan.unknown_pins import blocking, unknown_pins
from fuseplan.plan.words import FATES, OUT_OF_SCOPE, SIGNALS

PLUGS, NUMBERS = ("a", "b", "c"), ("1", "2", "3")
ENDS = st.builds(lambda plug, pin: {"connector": plug, "pin": pin}, st.sampled_from([*PLUGS, "lamp"]),
                 st.sampled_from(NUMBERS))
PIN = st.fixed_dictionaries({}, optional={
    "function": st.sampled_from(["charge lamp", "tachometer", "sensor return", "my own"]),
    "signal": st.sampled_from(SIGNALS), "fate": st.sampled_from(FATES), "join_to": ENDS, "other_end": ENDS,
    "known": st.sampled_from(["measured", "diagram", "guess"]), "splice": st.sampled_from(["S1", "S2"]),
    "colour": st.sampled_from(["RD", "BK"]), "size": st.sampled_from(["0.5 mm2", "AWG 14"]),
    "feed": st.sampled_from(["post", "bus"]), "earth": st.just("negative"), "characteristic": st.sampled_from("xy"),
    "stub": st.just("1 m"), "current": st.just("3 A"), "wires": st.integers(1, 3),
    "extension": st.fixed_dictionaries({"length": st.sampled_from(["1 m", "20 mm"])})})
LOOMS = st.fixed_dictionaries({plug: st.fixed_dictionaries(
    {"pin": st.fixed_dictionaries(dict.fromkeys(NUMBERS, PIN))},
    optional={"loom": st.sampled_from(["car", "donor"]), "mates": st.sampled_from(PLUGS), "cavities": st.integers(3, 5),
              "contact_current": st.just("10 A"), "plugged_into": st.sampled_from(["control_unit", "loom", "sensor"]),
              "plating": st.sampled_from(["tin", "gold"])}) for plug in PLUGS})


def plan_of(connectors: dict[str, Any]) -> Plan:
    return Plan.model_validate({
        "fuseplan": 1, "feed": {"post": {}, "bus": {"from": "post", "terminal": "15"}}, "earth": {"negative": {}},
        "loom": {"car": {"kind": "chassis"}, "donor": {"kind": "donor"}}, "connector": connectors})


@settings(max_examples=30, deadline=None)
@given(LOOMS)
def test_everything_unknown_is_counted_found_out_and_blocks_its_plug(connectors: dict[str, Any]) -> None:
    plan = plan_of(connectors)
    left, unknown = countdown(plan), unknown_pins(plan)
    assert left.unknown == sum(each.cavities for each in unknown) <= left.cavities
    assert {each.unknown for each in left.probes} == set(unknown)
    blocked = {each.connector: each for each in blocking(Nets(plan))}
    assert {each.at.connector for each in unknown} <= blocked.keys()
    assert all(each.because for each in blocked.values())
    found = assess(plan).findings
    assert {each.subject for each in found if each.check == "unknown-pin-on-live-plug"} == blocked.keys()
    assert left.is_ready <= (not unknown)


@settings(max_examples=30, deadline=None)
@given(LOOMS, st.sampled_from(PLUGS), st.sampled_from(NUMBERS))
def test_a_wire_that_is_cut_off_and_insulated_never_blocks_more(connectors: dict[str, Any], plug: str, number: str
                                                                ) -> None:
    before = {each.connector for each in blocking(Nets(plan_of(connectors)))}
    after = copy.deepcopy(connectors)
    after[plug]["pin"][number]["fate"] = "cut_and_insulate"
    assert {each.connector for each in blocking(Nets(plan_of(after)))} <= before


@settings(max_examples=30, deadline=None)
@given(LOOMS)
def test_being_joined_has_no_direction_and_no_end(connectors: dict[str, Any]) -> None:
    plan = plan_of(connectors)
    nets = Nets(plan)
    for at, _, _ in pins_of(plan):
        assert at in nets.of(at).pins
        assert all(nets.of(other) is nets.of(at) for other in nets.of(at).pins)
        assert all(at in nets.wires[other] for other in nets.wires.get(at, ()))
    assert sorted(row.at for row in pin_rows(plan)) == sorted(at for at, _, _ in pins_of(plan))


@settings(max_examples=10, deadline=None)
@given(LOOMS)
def test_every_report_is_written_in_any_width(connectors: dict[str, Any]) -> None:
    assessment = assess(plan_of(connectors))
    for room in (40, 100):
        for text in (looms_report(assessment, room=room), looms_report(assessment, "a", "fate", room),
                     merge_report(assessment, room)):
            assert text.endswith("\n")
            assert "None" not in text
            assert "nan" not in text.split()
    assert len(looms_document(assessment)["pins"]) == 9
    assert merges(assessment.plan)


@settings(max_examples=30, deadline=None)
@given(LOOMS)
def test_what_is_unknown_blocks_every_plug_its_wire_is_joined_to(connectors: dict[str, Any]) -> None:
    plan = plan_of(connectors)
    nets, blocked = Nets(plan), {each.connector: each for each in blocking(Nets(plan))}
    for each in unknown_pins(plan):
        for at in nets.of(each.at).pins if each.at.pin else ():
            assert each in blocked[at.connector].because


@settings(max_examples=30, deadline=None)
@given(LOOMS, st.sampled_from(PLUGS), st.sampled_from(OUT_OF_SCOPE))
def test_no_meter_and_no_splice_on_what_is_joined_to_a_plug_out_of_scope(connectors: dict[str, Any], marked: str,
                                                                         kind: str) -> None:
    plan = plan_of({**connectors, marked: {**connectors[marked], "out_of_scope": kind}})
    nets, mates = Nets(plan), mates_of(plan)
    for probe in probes(plan):
        at = probe.unknown.at
        assert f"{marked} pin" not in probe.how
        if at.pin and (mates.get(at.connector) == marked or marked in {each.connector for each in nets.of(at).pins}):
            assert probe.how.startswith("no meter on")
            with pytest.raises(EditError, match="maker's own procedure"):
                longer(plan, [at], 1.0)
    assert not [each for each in matings(plan) if marked in (each.left, each.right)]
    assert not [each for each in disagreements(plan) if marked in (each.one.connector, each.other.connector)]


@pytest.mark.parametrize(("plug", "function"), [
    ("Airbag plug", "earth"), ("SRS unit", "supply"), ("Anti-lock brake unit", "supply"), ("Bulkhead", "airbag, left"),
    ("Bulkhead", "seat belt tensioner +")])
def test_no_meter_and_no_splice_where_a_name_says_what_is_out_of_scope(plug: str, function: str) -> None:
    """Whoever takes a list of pins marks nothing: told to probe an airbag's plug, or to extend its wires, he would."""
    pin = {"function": function, "signal": "earth_31", "known": "diagram"}
    plan = plan_of({"a": {"name": plug, "pin": {"1": pin}}})
    [probe] = probes(plan)
    assert probe.how.startswith("no meter on")
    with pytest.raises(EditError, match="maker's own procedure"):
        longer(plan, [probe.unknown.at], 1.0)
    [finding] = [each for each in assess(plan).findings if each.check == "unknown-pin-on-live-plug"]
    assert not finding.fix.startswith("probe")


def test_a_pin_of_the_control_unit_that_only_speaks_of_anti_lock_brakes_is_probed() -> None:
    plan = plan_of({"a": {"name": "ECU", "pin": {"1": {"function": "ABS speed signal", "signal": "pulse"}}}})
    assert not probes(plan)[0].how.startswith("no meter on")
