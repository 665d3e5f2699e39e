"""A plan to edit, with comments and several ways of laying things out."""

from __future__ import annotations

import pytest

PLAN = """\
fuseplan = 1 # format

[vehicle]
name = "Tarvel 1300 coupe" # invented
limits = "road"

# The battery, as its label says.
[battery]
capacity = "60 Ah"

[zone.cabin]
ambient = "45 degC"
[zone.engine_bay]
ambient = "194 degF" # measured in August

[run.dash]
from = "fuse_box"
to = "bulkhead"
length = "3 ft"

[run.sill]
from = "boot"
to = "bulkhead"
length = "2.1 m"
zone = "cabin"

# --- feeds ---

[feed.battery_post] # the root
[feed.main_bus]
from = "battery_post"
terminal = "30"
fuse = { kind = "maxi", rating = "60 A" } # near the post

[earth.battery_negative]
[earth.rear_stud]
to = "battery_negative"
resistance = "3 mohm" # panels

# The pump dies with the engine.
[circuit.fuel_pump]
name = "Fuel pump"
feed = "main_bus"
fuse = { kind = "mini", position = "F7" } # rating left out
relay = { contact = "mini_40", coil_feed = "main_bus", driver = "ecu" }
wire = [
    { size = "2.5 mm2", along = ["dash", "sill"] }, # to the boot
    # the donor's tail
    { size = "AWG 14", length = "14 in", zone = "cabin" },
]
earth = "rear_stud"
must_run = ["crank", "running"]
# behind the last key

[[circuit.fuel_pump.load]]
name = "Pump" # in line
current = "6.5 A"
when = ["engine"]

[circuit."dip beam"]
feed = "main_bus"
fuse.kind = "mini" # dotted
fuse.rating = "10 A"
wire = [{ size = "1.5 mm2", length = "4 m", zone = "engine_bay" }]
load = [{ name = "Bulb", power = "55 W", at = "12 V" }] # on one line

# a comment that stands by itself

[trip.home]
[[trip.home.leg]]
condition = "crank"
duration = "5 s"
"""


@pytest.fixture
def plan_text() -> str:
    return PLAN
