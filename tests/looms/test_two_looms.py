"""An invented chassis loom of 40 pins and donor loom of 60: what is unknown counts down to nothing, and only then is
nothing blocked."""

from __future__ import annotations

import copy
from itertools import pairwise
from typing import Any

from fuseplan.looms.change_log import unlogged
from fuseplan.looms.functions import functions
from fuseplan.looms.probing import probes
from fuseplan.looms.rows import pin_rows
from fuseplan.looms.to_do import countdown
from fuseplan.papers.loom_columns import splice_rows
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import Nets, PinId, pins_of
from fuseplan.plan.unknown_pins import blocking, unknown_pins
from tests.looms.two_looms import plan_data, supplied


def plan_of(data: dict[str, Any]) -> Plan:
    return Plan.model_validate(data)


def settled(data: dict[str, Any]) -> dict[str, Any]:
    """The same with everything found out: unknown wires cut off, supplies and earths entered, the log written."""
    data = supplied(copy.deepcopy(data))
    for connector in data["connector"].values():
        for pin in connector["pin"].values():
            if "function" not in pin and pin.get("fate") != "spare":
                pin["fate"] = "cut_and_insulate"
    data["change"] = [{"date": "2026-11-26", "what": "cut off", "wire": {"connector": at.connector, "pin": at.pin}}
                      for at, _ in unlogged(plan_of(data))]
    return data


def test_both_looms_are_there() -> None:
    plan = plan_of(plan_data())
    count = {kind: sum(len(each.pin) for each in plan.connector.values() if plan.loom[str(each.loom)].kind == kind)
             for kind in ("chassis", "donor")}
    assert count == {"chassis": 40, "donor": 60}
    assert len(pin_rows(plan)) == 100


def test_the_unknown_counts_down_to_nothing_and_power_is_blocked_till_then() -> None:
    data = plan_data()
    left = countdown(plan_of(data))
    assert (left.cavities, left.unknown) == (100, 7)
    before = left.unknown
    blocked = {each.connector for each in blocking(Nets(plan_of(data)))}
    assert blocked == set(plan_of(data).connector)
    for each in left.probes:
        at = each.unknown.at
        data["connector"][at.connector]["pin"][at.pin]["fate"] = "cut_and_insulate"
        now = countdown(plan_of(data))
        assert now.unknown == before - 1
        assert {one.connector for one in blocking(Nets(plan_of(data)))} <= blocked
        before, blocked = now.unknown, {one.connector for one in blocking(Nets(plan_of(data)))}
    assert before == 0
    assert not blocked
    assert not countdown(plan_of(data)).is_ready  # supplies without a feed, earths without a stud
    done = countdown(plan_of(settled(data)))
    assert done.is_ready
    assert done.tasks == ()


def test_every_unknown_has_a_way_to_find_out_what_blocks_most_first() -> None:
    plan = plan_of(plan_data())
    found = probes(plan)
    assert {each.unknown for each in found} == set(unknown_pins(plan))
    assert all(each.how for each in found)
    held = [len(each.blocks) for each in found]
    assert held == sorted(held, reverse=True)
    for one, other in pairwise(found):
        assert len(one.blocks) > len(other.blocks) or one.cost <= other.cost


def test_the_same_colour_in_the_same_loom_is_where_the_meter_goes() -> None:
    probe = next(each for each in probes(plan_of(plan_data())) if each.unknown.at == PinId("sensors", "14"))
    assert "ecu pin 20" in probe.how
    assert "fuel pump control" in probe.expect


def test_what_the_other_half_says_is_looked_at_before_a_meter_is_fetched() -> None:
    data = plan_data()
    data["connector"]["car_bulkhead"]["mates"] = "dash"
    probe = next(each for each in probes(plan_of(data)) if each.unknown.at == PinId("car_bulkhead", "15"))
    assert probe.cost_words == "look"
    assert "dip beam left" in probe.expect


def test_what_is_left_to_its_maker_is_not_probed_by_whatever_way() -> None:
    data = plan_data()
    left_alone = [name for name, each in functions().items() if not each.is_probed]
    assert "immobiliser" in left_alone
    for name in left_alone:
        for changed in ({}, {"other_end": {"connector": "ecu", "pin": "25"}}, {"colour": "YEGN"}):
            data["connector"]["donor_bulkhead"]["pin"]["12"] |= {
                "function": functions()[name].name, "known": "guess", "fate": "keep"} | changed
            probe = next(each for each in probes(plan_of(data)) if each.unknown.at == PinId("donor_bulkhead", "12"))
            assert probe.how.startswith("no meter on donor_bulkhead pin 12")
            other = next(each for each in probes(plan_of(data)) if each.unknown.at == PinId("ecu", "25"))
            assert "donor_bulkhead pin 12" not in other.how
            assert other.how.startswith("no meter on") == ("other_end" in changed)
            data["connector"]["donor_bulkhead"]["pin"]["12"].pop("other_end", None)


def test_the_wire_to_the_other_end_is_measured_with_its_own_resistance_beside() -> None:
    data = plan_data()
    data["connector"]["ecu"]["pin"]["25"] |= {"other_end": {"connector": "sensors", "pin": "14"}, "length": "2 m"}
    probe = next(each for each in probes(plan_of(data)) if each.unknown.at == PinId("ecu", "25"))
    assert "sensors pin 14" in probe.how
    # 0.5 mm², flexible: 39.0 Ω/km at 20 °C, IEC 60228
    assert "of which the wire has 78 mΩ" in probe.expect


def test_a_filter_keeps_rows_that_hold_every_word_and_loses_none() -> None:
    plan = plan_of(plan_data())
    rows = {row.at for row in pin_rows(plan, filter_text="ECU sensor")}
    wanted = {at for at, _, pin in pins_of(plan) if at.connector == "ecu" and "sensor" in (pin.function or "")}
    assert wanted <= rows
    assert len(pin_rows(plan, filter_text="no such words at all")) == 0
    assert {row.at for row in pin_rows(plan, "fate")} == {row.at for row in pin_rows(plan, "function")}


def test_the_other_end_is_found_from_both_ends() -> None:
    nets = Nets(plan_of(plan_data()))
    assert nets.wires[PinId("ecu", "9")] == [PinId("sensors", "3")]
    assert nets.wires[PinId("sensors", "3")] == [PinId("ecu", "9")]


def test_every_changed_wire_is_to_be_in_the_log() -> None:
    data = plan_data()
    assert unlogged(plan_of(data)) == []
    data["connector"]["dash"]["pin"]["19"]["fate"] = "cut_and_insulate"
    assert [at for at, _ in unlogged(plan_of(data))] == [PinId("dash", "19")]
    assert [task.kind for task in countdown(plan_of(data)).tasks if task.kind == "log"] == ["log"]
    data["change"] = [{"date": "2026-11-26", "what": "cut off", "wire": {"connector": "dash", "pin": "19"}}]
    assert unlogged(plan_of(data)) == []


def test_what_blocks_the_looms_blocks_the_battery_and_the_control_unit() -> None:
    from fuseplan.bench.ready import ready
    from fuseplan.checks import assess

    def about_plugs(data: dict[str, Any]) -> set[str]:
        return {item.stage for item in ready(assess(plan_of(data)))
                if item.subject[0] == "connector" and item.kind != "unread"}

    assert about_plugs(plan_data()) == {"battery", "control_unit"}
    assert about_plugs(settled(plan_data())) == set()


def test_a_wire_made_longer_in_another_colour_is_to_be_marked_and_blocks_nothing() -> None:
    def marks(colour: str) -> list[str]:
        data = settled(plan_data())
        data["connector"]["dash"]["pin"]["4"]["extension"] = {"length": "1 m", "colour": colour}
        left = countdown(plan_of(data))
        assert left.is_ready
        return [task.words for task in left.tasks if task.kind == "mark"]

    assert marks("BU") == []
    assert marks("GN") == ["dash pin 4: GN is added to BU"]


def test_the_barrel_of_a_splice_takes_the_sum_of_its_wires() -> None:
    # several wires in one barrel: add the areas, then that size or the next larger, NASA-STD-8739.4, 19.11 and 19.12
    data = plan_data()
    for number, size in (("4", "1.5 mm2"), ("5", "1 mm2"), ("6", "1 mm2")):
        data["connector"]["dash"]["pin"][number] |= {"size": size, "splice": "S1"}
    row, = splice_rows(plan_of(data))
    assert (row.name, len(row.wires), row.barrel_mm2) == ("S1", 3, 3.5)
    del data["connector"]["dash"]["pin"]["4"]["size"]
    assert splice_rows(plan_of(data))[0].barrel_mm2 is None
