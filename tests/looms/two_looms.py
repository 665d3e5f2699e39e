"""An invented car and an invented donor engine: a chassis loom of 40 pins and a donor loom of 60, as they are first
entered, with what is not known yet left open. Invented data tests what the program does with it, no physics."""

from __future__ import annotations

from typing import Any

from fuseplan.planfile.plain import section_text

SUPPLIES = {"supply_30": "main", "supply_15": "key", "supply_87": "relay", "supply_50": "key", "supply_58": "main",
            "supply_75": "key"}
"""The feed of each kind of supply."""

# One line a cavity: function, kind of signal, colour, size in mm². Without a function the wire is unknown, a lone line
# is a spare cavity.
DASH = """\
permanent supply, supply_30, RD, 4
ignition supply of the control unit, supply_15, BK, 1.5
start signal, supply_50, BKYE, 2.5
charge lamp, signal, BU, 0.75
oil pressure lamp, signal, BUGN, 0.75
coolant temperature gauge, signal, BUWH, 0.75
tachometer, pulse, GN, 0.75
vehicle speed signal, pulse, GNWH, 0.75
fuel level, signal, BUBK, 0.75
engine warning lamp, coil_driver, BUYE, 0.5
panel earth, earth_31, BN, 1.5
side lights, supply_58, GY, 1
accessory supply, supply_75, VT, 1.5
brake light switch, switched_supply, BKRD, 1
dip beam left, switched_supply, YE, 1.5
dip beam right, switched_supply, YEBK, 1.5
main beam, switched_supply, WH, 1.5
horn, switched_supply, BKGN, 1
, , WHRD, 0.75
, , BKWH, 0.75
-
-
"""
CAR_BULKHEAD = """\
permanent supply, supply_30, RD, 4
ignition supply of the control unit, supply_15, BK, 1.5
start signal, supply_50, BKYE, 2.5
charge lamp, signal, BU, 0.75
oil pressure lamp, signal, BUGN, 0.75
coolant temperature gauge, signal, BUWH, 0.75
tachometer, pulse, GN, 0.75
vehicle speed signal, pulse, GNWH, 0.75
reverse lamp switch, switched_supply, BKBU, 1
reverse lamps, switched_supply, BKGY, 1
fuel pump supply, switched_supply, RDGN, 1.5
engine warning lamp, coil_driver, BUYE, 0.5
wiper park, switched_supply, GNRD, 1
brake fluid lamp, signal, BURD, 0.5
, , GYBU, 0.5
-
-
-
"""
SENSOR_WIRES = """\
sensor supply, sensor_supply, RDYE, 0.5
sensor return, sensor_return, BNWH, 0.5
crankshaft sensor, pulse, GN, 0.5
crankshaft sensor return, sensor_return, WH, 0.5
crankshaft sensor shield, shield, BK, 0.5
coolant temperature sensor, signal, BUWH, 0.5
intake air temperature sensor, signal, VTWH, 0.5
throttle position sensor, signal, GYWH, 0.5
"""
INJECTORS = """\
injector 1, coil_driver, BNGN, 0.75
injector 2, coil_driver, BNBU, 0.75
injector 3, coil_driver, BNYE, 0.75
injector 4, coil_driver, BNVT, 0.75
"""
ECU = f"""\
permanent supply of the control unit, supply_30, RDBU, 1
ignition supply of the control unit, supply_15, BKBU, 0.75
main relay output, supply_87, RDWH, 1.5
main relay control, coil_driver, BNRD, 0.5
control unit earth, earth_31, BN, 1.5
power earth of the control unit, earth_31, BN, 1.5
{SENSOR_WIRES}knock sensor, signal, BK, 0.5
{INJECTORS}fuel pump control, coil_driver, BNGY, 0.5
tachometer, pulse, GNBK, 0.5
vehicle speed signal, pulse, GNRD, 0.5
engine warning lamp, coil_driver, BUYE, 0.5
clutch switch, signal, WHBU, 0.5
, , YEGN, 0.5
-
"""
DONOR_BULKHEAD = """\
permanent supply of the control unit, supply_30, RDBU, 1
ignition supply of the control unit, supply_15, BKBU, 0.75
start signal, supply_50, BKWH, 2.5
charge lamp, signal, BUBK, 0.75
oil pressure lamp, signal, BUGN, 0.5
tachometer, pulse, GNBK, 0.5
vehicle speed signal, pulse, GNRD, 0.5
engine warning lamp, coil_driver, BUYE, 0.5
fuel pump supply, switched_supply, RDGY, 1.5
reverse lamp switch, switched_supply, BKVT, 1
reverse lamps, switched_supply, BKPK, 1
immobiliser, signal, WHGN, 0.5
air-conditioning request, signal, WHYE, 0.5
data bus high, bus_high, YE, 0.5
data bus low, bus_low, GN, 0.5
main relay output, supply_87, RDWH, 2.5
, , BNBK, 0.5
, , YEGN, 0.5
-
-
"""
SENSORS = f"""\
{SENSOR_WIRES}injector supply, supply_87, RDWH, 1.5
{INJECTORS}, , BNGY, 0.5
"""


def _pins(table: str, known: str) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for number, line in enumerate(table.splitlines(), start=1):
        if line == "-":
            found[str(number)] = {"fate": "spare", "known": "measured"}
            continue
        function, signal, colour, size = line.split(", ")
        wire = {"colour": colour, "size": f"{size} mm2"}
        found[str(number)] = wire if not function else {
            "function": function, "signal": signal, **wire, "known": known, "fate": "keep"}
    return found


def plan_data() -> dict[str, Any]:
    """The plan as plain data, fresh each time."""
    sensors, ecu = _pins(SENSORS, "diagram"), _pins(ECU, "diagram")
    for there in sensors.values():
        same = [far for far, pin in ecu.items() if "function" in pin and pin["function"] == there.get("function")]
        if same:
            there["other_end"] = {"connector": "ecu", "pin": same[0]}
    for pins, pair, shield in ((ecu, ("9", "10"), "11"), (sensors, ("3", "4"), "5")):
        pins[pair[0]] |= {"twisted_with": pair[1], "twists": 30, "shield": shield}
        pins[pair[1]] |= {"twisted_with": pair[0], "twists": 30, "shield": shield}
    bulkhead = _pins(DONOR_BULKHEAD, "diagram")
    bulkhead["14"] |= {"twisted_with": "15", "twists": 30, "bus_rate": "500 kbit/s"}
    bulkhead["15"] |= {"twisted_with": "14", "twists": 30, "bus_rate": "500 kbit/s"}
    return {
        "fuseplan": 1,
        "feed": {"post": {}, "main": {"from": "post", "terminal": "30"}, "key": {"from": "main", "terminal": "15"},
                 "relay": {"from": "main", "terminal": "87"}},
        "earth": {"negative": {}, "engine": {"to": "negative", "engine": True}, "body": {"to": "negative"}},
        "loom": {"car": {"kind": "chassis"}, "engine": {"kind": "donor"}},
        "connector": {
            "dash": {"loom": "car", "cavities": 22, "pin": _pins(DASH, "measured")},
            "car_bulkhead": {"loom": "car", "cavities": 18, "pin": _pins(CAR_BULKHEAD, "measured")},
            "ecu": {"loom": "engine", "cavities": 26, "plugged_into": "control_unit", "pin": ecu},
            "donor_bulkhead": {"loom": "engine", "cavities": 20, "plugged_into": "loom", "pin": bulkhead},
            "sensors": {"loom": "engine", "cavities": 14, "plugged_into": "loom", "pin": sensors},
        },
    }


def supplied(data: dict[str, Any]) -> dict[str, Any]:
    """The same data, its supplies now with their feeds and its earths with their stud."""
    for connector in data["connector"].values():
        for pin in connector["pin"].values():
            if pin.get("signal") in SUPPLIES:
                pin["feed"] = SUPPLIES[pin["signal"]]
            if pin.get("signal") == "earth_31":
                pin["earth"] = "engine"
    return data


def text_of(data: dict[str, Any]) -> str:
    """A plan's file with this data."""
    parts = "".join(f"{section_text((kind,), value)}\n" for kind, value in data.items() if kind != "fuseplan")
    return f"fuseplan = 1\n{parts}"
