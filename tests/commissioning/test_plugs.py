"""Rows of the test sheet for the plugs of the looms. Invented looms; what is tested is that every wire that is built is
rung out, and that no row puts a meter where none belongs."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.bench.expected import expected
from fuseplan.bench.plug_points import rung_wires
from fuseplan.bench.points import points
from fuseplan.bench.ready import ready
from fuseplan.bench.sheet import SheetRow, sheet_of
from fuseplan.bench.storing import new_reading
from fuseplan.bench.verdicts import verdict
from fuseplan.build.wires import pieces
from fuseplan.checks.assessment import assess
from fuseplan.plan.nets import Nets, PinId
from tests.looms.two_looms import plan_data, supplied
from tests.plans import plan_of


def rows(data: dict[str, Any], section: str) -> dict[str, SheetRow]:
    found, = sheet_of(assess(plan_of(data)), only=[section])
    return {row.point.address: row for row in found.rows if row.point.kind == "connector"}


def test_every_wire_between_two_pins_is_rung_once_from_the_control_unit() -> None:
    data = supplied(plan_data())
    data["connector"]["sensors"]["pin"]["1"]["fate"] = "new"
    plan = plan_of(data)
    between = {frozenset((piece.start.connector, piece.start.pin, piece.end.connector, piece.end.pin))
               for piece in pieces(assess(plan)) if piece.start.connector and piece.end.connector}
    rung = rung_wires(plan)
    assert len(rung) == len(between) > 10
    assert {wire.start.connector for wire in rung} == {"ecu"}
    asked = rows(data, "before_power")
    required = [row.point.address for address, row in asked.items() if address.endswith("wire_ohm") and row.required]
    assert required == ["connector.ecu.7.sensors.1.wire_ohm"]


def test_a_wire_is_rung_through_splices_and_joins_but_not_to_a_plug_that_goes() -> None:
    data = supplied(plan_data())
    pins = {name: connector["pin"] for name, connector in data["connector"].items()}
    for name, pin in (("ecu", "20"), ("donor_bulkhead", "6")):
        pins[name][pin]["splice"] = "S1"
    pins["donor_bulkhead"]["6"] |= {"fate": "join", "join_to": {"connector": "dash", "pin": "7"}}
    found = [(wire.start.words, wire.end.words, wire.changed) for wire in rung_wires(plan_of(data))
             if "pin 20" in wire.start.words]
    assert found == [("ecu pin 20", "dash pin 7", True)]


def test_a_wire_between_two_splices_is_part_of_the_way() -> None:
    data = plan_data()
    for name, pin, splice in (("ecu", "20", "S1"), ("dash", "9", "S2")):
        data["connector"][name]["pin"][pin]["splice"] = splice

    def rung() -> list[str]:
        return [wire.end.words for wire in rung_wires(plan_of(data)) if wire.start.words == "ecu pin 20"]

    assert rung() == []
    data["loom"]["engine"]["wire"] = [{"size": "0.5 mm2", "start": {"splice": "S1"}, "end": {"splice": "S2"}}]
    assert rung() == ["dash pin 9"]
    plan = plan_of(data)
    assert PinId("dash", "9") in Nets(plan).of(PinId("ecu", "20")).pins


def test_a_wire_that_is_not_decided_or_goes_is_not_rung() -> None:
    before = len(rung_wires(plan_of(plan_data())))
    for fate in ("unknown", "cut_and_insulate"):
        data = plan_data()
        data["connector"]["sensors"]["pin"]["3"]["fate"] = fate
        assert len(rung_wires(plan_of(data))) == before - 1


def test_no_row_puts_a_meter_on_what_is_out_of_scope_and_the_sheet_says_so() -> None:
    data = supplied(plan_data())
    data["connector"]["belt"] = {"loom": "car", "out_of_scope": "pretensioner", "cavities": 2, "pin": {
        "1": {"function": "squib", "signal": "signal", "fate": "keep", "known": "diagram",
              "other_end": {"connector": "dash", "pin": "6"}}}}
    asked = rows(data, "before_power")
    probed = [f"{row.point.probe} {row.point.to}" for row in asked.values()]
    assert not any("belt" in words for words in probed)
    signals = asked["connector.dash.signals_earth_ohm"]
    assert "6" not in signals.point.probe.removeprefix("pins ").split(", ")
    notes = " ".join(row.note for row in asked.values())
    assert notes.count("Never put a meter on belt (pretensioner).") == 1
    assert "No meter on pin 6" in signals.note
    immobiliser = asked["connector.donor_bulkhead.signals_earth_ohm"].point
    assert "12" not in immobiliser.probe.removeprefix("pins ").split(", ")


def test_a_control_unit_is_measured_with_power_before_it_is_plugged_in() -> None:
    data = supplied(plan_data())
    asked = rows(data, "first_power")
    assert set(asked) == {"connector.ecu.supplies_v", "connector.ecu.sensors_v"}
    sensors = asked["connector.ecu.sensors_v"]
    # A lamp, a gauge or a relay's coil may put volts on its pin: those are not among them.
    assert sensors.point.probe == "pins 7, 8, 10, 11 of the open plug"
    assert sensors.required
    # Main relay and starter are off as long as the control unit is unplugged.
    assert asked["connector.ecu.supplies_v"].point.probe == "pins 1, 2 of the open plug"
    stages = {item.row: item.stage for item in ready(assess(plan_of(data))) if item.subject == ("connector", "ecu")}
    assert {stage for row, stage in stages.items() if row is not None} == {"battery", "control_unit"}


def test_all_fuses_of_a_control_unit_are_in_and_its_plug_is_read_before_it_is_plugged_in() -> None:
    data = supplied(plan_data())
    wire = [{"size": "1 mm2", "length": "2 m"}]
    data["circuit"] = {name: {
        "role": role, "feed": "main", "fuse": {"kind": "blade", "rating": "10 A"}, "wire": wire, "earth": "body",
        "load": [{"current": "3 A", "kind": "electronic"}]} for name, role in (
            ("unit", "engine_control_unit"), ("memory", "engine_control_memory"), ("pump", "fuel_pump"))}
    found, = sheet_of(assess(plan_of(data)), only=["first_power"])
    order = [row.point.address for row in found.rows]
    plug = [order.index(f"connector.ecu.{what}") for what in ("supplies_v", "sensors_v")]
    before = [order.index(f"circuit.{name}.{what}") for name in ("unit", "memory") for what in ("lamp_v", "plug_v")]
    after = [order.index(f"circuit.{name}.{what}") for name in ("unit", "memory") for what in ("current", "load_v")]
    assert max(before) < min(plug) < max(plug) < min(after) < max(after) < order.index("circuit.pump.lamp_v")


@pytest.mark.parametrize(("address", "value", "level"), [
    ("connector.ecu.7.sensors.1.wire_ohm", "0.4 ohm", "ok"), ("connector.ecu.7.sensors.1.wire_ohm", "open", "fault"),
    ("connector.ecu.signals_earth_ohm", "open", "ok"), ("connector.ecu.signals_earth_ohm", "12 ohm", "fault"),
    ("connector.ecu.earths_ohm", "0.2 ohm", "ok"), ("connector.ecu.sensors_v", "0.01 V", "ok"),
    ("connector.ecu.sensors_v", "12.4 V", "fault"), ("connector.ecu.supplies_v", "12.6 V", "ok"),
    ("connector.ecu.supplies_v", "0 V", "fault"), ("connector.donor_bulkhead.pair_ohm", "60 ohm", "ok"),
    ("connector.donor_bulkhead.pair_ohm", "120 ohm", "fault")])
def test_readings_at_plugs_are_judged(address: str, value: str, level: str) -> None:
    assessment = assess(plan_of(supplied(plan_data())))
    reading = new_reading(assessment, address, value).reading
    assert verdict(assessment, reading).level == level
    assert expected(assessment, points(assessment)[address], reading.condition).known
