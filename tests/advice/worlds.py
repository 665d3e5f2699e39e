"""Invented plans for the tests of proposals: by hand around one circuit, and by rule with gaps and kept wires."""

from __future__ import annotations

import random
from functools import cache
from typing import Any

from fuseplan.advice import Proposal, propose
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan
from tests.plans import large_plan, plan_of

BASE = """
fuseplan = 1
[vehicle]
name = "Around one circuit"
[battery]
open_circuit = "12.6 V"
internal_resistance = "15 mohm"
capacity = "60 Ah"
[alternator]
rated = "120 A"
low_speed = "70 A"
pulley_ratio = 2.5
regulator_voltage = "14.2 V"
regulator_temperature = "20 degC"
feed = "battery_post"
earth = "engine"
cable = [{ size = "35 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125", cover = "sleeve" }]
[zone.cabin]
ambient = "25 degC"
[feed.battery_post]
zone = "cabin"
[earth.battery_negative]
[earth.engine]
to = "battery_negative"
engine = true
wire = [{ size = "35 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }]
"""


def around(circuit: str) -> Plan:
    """A battery, an alternator at its post, and one text with circuits."""
    return parse_plan(BASE + circuit)


def one(wire: str = 'size = "2.5 mm2"', fuse: str = 'fuse = { kind = "blade" }', current: str = "6 A",
        kind: str = "resistive", evidence: str = "measured", length: str = "2 m", more: str = "",
        load: str = "") -> Plan:
    """One circuit from the battery post, 25 °C, wire and fuse as asked."""
    return around(f"""
[circuit.one]
feed = "battery_post"
{fuse}
{more}
wire = [{{ length = "{length}", zone = "cabin", insulation = "pvc70", {wire} }}]
earth = "battery_negative"
[[circuit.one.load]]
current = "{current}"
at = "14.2 V"
kind = "{kind}"
evidence = "{evidence}"
when = ["engine"]
inrush = 1
{load}
""")


@cache
def example(name: str, by: str = "road") -> Proposal:
    """The proposal for a shipped example by a set of limits, without what measuring saves; for tests that only read
    it."""
    return propose(read_plan(shipped_folder("examples") / f"{name}.toml"), limit_set(by), look_for_savings=False)


def gappy(circuits: int, seed: int) -> dict[str, Any]:
    """A generated plan with some sizes and ratings left out, some wires kept, some loads hung on a plain switch."""
    rng = random.Random(seed)
    data = large_plan(circuits, seed)
    # What no size, rating or relay cures is put right, so that a proposal can be accepted: an engine strap, a weak
    # battery no blade fuse need fear, and no relay that is pulled in while the car is parked.
    data["battery"]["internal_resistance"] = "20 mohm"
    data["earth"]["engine"] = {"to": "battery_negative", "engine": True, "wire": [
        {"size": "50 mm2", "length": "0.5 m", "zone": "cabin", "insulation": "xlpe125"}]}
    data["alternator"] |= {"earth": "engine", "rated": "150 A", "low_speed": "110 A"}
    for feed in data["feed"].values():
        feed.pop("relay", None)
    for circuit in data["circuit"].values():
        for segment in (*circuit["wire"], *circuit["earth_wire"]):
            chance = rng.random()
            if chance < 0.35:
                del segment["size"]
            elif chance < 0.5:
                segment["origin"] = "existing"
        if rng.random() < 0.5:
            circuit["fuse"].pop("rating", None)
        if "relay" in circuit and rng.random() < 0.3:
            del circuit["relay"]
            circuit["switch"] = {"rating": "10 A"}
    return data


def gappy_plan(circuits: int, seed: int) -> Plan:
    """The plan of `gappy`."""
    return plan_of(gappy(circuits, seed))
