"""A first plan to fill in: commented, complete enough to be assessed, with the names the library uses."""

from __future__ import annotations

from collections.abc import Iterable

from fuseplan.errors import EditError
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import circuit_for
from fuseplan.planfile.plain import literal

ZONES = {
    "cabin": ("Cabin", "45 degC"),
    "engine_bay": ("Engine bay", "90 degC"),
    "battery": ("Beside the battery", "70 degC"),
    "near_exhaust": ("Near the exhaust", "120 degC"),
    "underbody": ("Underbody", "50 degC"),
    "boot": ("Boot", "45 degC"),
    "door": ("Doors", "45 degC"),
}
"""Name and highest ambient of the zones the library names. Common practice, no source."""
CIRCUITS = (
    "fuel_pump_in_line", "fan_single", "ecu_main", "starter_main", "starter_solenoid", "alternator_exciter",
    "dip_beam_left", "dip_beam_right", "main_beams", "side_tail_left", "side_tail_right", "number_plate_lamps",
    "stop_lamps", "indicators_left", "indicators_right", "hazard_lamps", "reverse_lamps", "panel_lamps",
    "wiper_front", "washer_pump", "heater_blower", "horn", "instrument_cluster",
)
"""What a first plan holds unless told otherwise: what is usual in a road car. Common practice, no source."""
_OF_INJECTION = ("fuel_pump_in_line", "fan_single", "ecu_main")
LIBRARY_SYSTEM = "12"
"""System voltage in V of the cars the shipped definitions are for."""

SYSTEMS = ("6", "12", "24")
"""System voltages in V a first plan is made for; any other is entered in the file."""
_ALTERNATOR = """\
# rated = "{rated}"           # label: output at 6000 r/min of its own shaft
# low_speed = "{low}"        # label: output at 1500 r/min of its own shaft"""
_DYNAMO = """\
# machine = "dynamo"        # left out: an alternator, with rated and low_speed from its label
# rated = "{rated}"
# cut_in = "1250 r/min"     # of its own shaft: from here it charges
# full_output = "2000 r/min"   # of its own shaft: from here it gives its rated output"""
_EXAMPLES = {
    "6": {"capacity": "80 Ah", "cold_crank": "350 A", "pair": "", "regulator": "7.1 V", "pulley_ratio": "1.6",
          "machine": _DYNAMO.format(rated="30 A")},
    "12": {"capacity": "60 Ah", "cold_crank": "540 A", "pair": "", "regulator": "14.2 V", "pulley_ratio": "2.4",
           "machine": _ALTERNATOR.format(rated="120 A", low="85 A")},
    "24": {"capacity": "110 Ah", "cold_crank": "680 A", "regulator": "28.4 V", "pulley_ratio": "2.4",
           "pair": "; of two 12 V batteries in series, that of one",
           "machine": _ALTERNATOR.format(rated="80 A", low="45 A")},
}
"""Battery and alternator of each system as the first plan shows them: examples, invented."""
_OTHER_PARTS = """\
# The library's figures are those of 12 V parts. fuseplan check reports each as wrong-system-voltage until the figures
# of the {system} V parts fitted are entered: current or power, `at` and `range`.
"""

_HEAD = """\
fuseplan = 1   # version of this file's format; leave it

# How to read this file: one `key = value` a line, names in [brackets], anything behind # is a comment.
# Every quantity is text with its unit: "7.5 A", "1.6 m", "2.5 mm2", "AWG 14", "3 mohm", "45 degC".
# What is not known yet may be left out: the plan then says what it lacks and guesses nothing.
# Lengths, sizes and currents below are examples: measure your car and write your own figures.

[vehicle]
name = {name}
system = "{system} V"
limits = "road"   # set of published limits the plan is judged by

[battery]
zone = "engine_bay"
# capacity = "{capacity}"        # from the label{pair}
# cold_crank = "{cold_crank}"      # from the label; cold_crank_test = "EN" or "SAE" says by which test
# internal_resistance = "9 mohm"   # left out: derived from cold_crank

[alternator]
feed = "battery_post"
earth = "engine_block"
{machine}
# pulley_ratio = {pulley_ratio}        # turns of its shaft for one turn of the engine
# regulator_voltage = "{regulator}"
# cable = [{{ size = "70 mm2", length = "1.4 m", zone = "engine_bay", insulation = "xlpe125" }}]
# fuse = {{ kind = "mega", rating = "200 A", distance = "150 mm", zone = "battery" }}   # at its battery end

# Zones: highest ambient to plan for. Common practice, no source: a thermometer on a hot day knows better.
"""

_TREES = """\

# Feeds: points that hand out supply, a tree. The root, the battery's positive post, has no `from`.

[feed.battery_post]
name = "Battery positive post"
zone = "engine_bay"

# The fuses at the battery are bolt-in ones: a short there draws more than the 1000 A a blade or maxi fuse breaks. When
# they blow is not on file: enter from the maker's sheet at how many times its rating each blows within 5 s (blows_at).

[feed.main_bus]
name = "Permanent bus"
terminal = "30"
from = "battery_post"
fuse = { kind = "mega", rating = "200 A", distance = "150 mm", zone = "battery" }
# The distance is that from the battery: nothing protects that wire. The size is for a full car, with electric fans,
# heated screens and an amplifier; a plain one needs less.
wire = [{ size = "70 mm2", length = "1.6 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "cabin"
live = ["off", "accessory", "ignition", "crank", "running", "run_on"]

[feed.key_supply]
name = "Supply of the switched buses"
from = "battery_post"
fuse = { kind = "strip", rating = "100 A", distance = "150 mm", zone = "battery" }
wire = [{ size = "35 mm2", length = "1.6 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "cabin"

[feed.accessory_bus]
name = "Accessory bus"
terminal = "75"
from = "key_supply"
zone = "cabin"
live = ["accessory", "ignition", "running"]   # many key switches drop it while cranking: try yours with a lamp

[feed.ignition_bus]
name = "Ignition bus"
terminal = "15"
from = "key_supply"
zone = "cabin"
live = ["ignition", "crank", "running"]

[feed.engine_bus]
name = "Engine bus, behind the main relay"
terminal = "87"
from = "battery_post"
fuse = { kind = "strip", rating = "60 A", distance = "150 mm", zone = "battery" }
wire = [{ size = "16 mm2", length = "1.6 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "cabin"   # with the other fuses and relays: few relay contacts have a current published above 85 degC
live = ["ignition", "crank", "running"]
relay = { contact = "mini_40", zone = "cabin", coil_feed = "coils_15", driver = "ecu", driver_limit = "1 A",\
 suppression = "diode" }
# driver_limit is what the control unit's output may carry: 1 A is common practice, its maker's sheet decides.
# Its coil wires go into the relay too: wire_86 = [{ size = "0.75 mm2", length = "1 m" }], wire_85 = [ … ].

[feed.crank_bus]
name = "Start signal"
terminal = "50"
from = "main_bus"
zone = "cabin"
live = ["crank"]

[feed.light_bus]
name = "Side and tail lamp bus"
terminal = "58"
from = "main_bus"
zone = "cabin"

[feed.lamp_bus]
name = "Headlamp bus"
terminal = "56"
from = "battery_post"
fuse = { kind = "strip", rating = "60 A", distance = "150 mm", zone = "battery" }
wire = [{ size = "16 mm2", length = "1.6 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "cabin"
live = ["ignition", "running"]

# A relay coil draws little, so its wire is thin and needs a small fuse: one for the coils of each bus.

[feed.coils_30]
name = "Relay coils, permanent bus"
from = "main_bus"
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
zone = "cabin"

[feed.coils_15]
name = "Relay coils, ignition bus"
from = "ignition_bus"
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
zone = "cabin"

[feed.coils_87]
name = "Relay coils, engine bus"
from = "engine_bus"
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
zone = "cabin"

[feed.coils_50]
name = "Relay coils, start signal"
from = "crank_bus"
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
zone = "cabin"

[feed.coils_58]
name = "Relay coils, side and tail lamp bus"
from = "light_bus"
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
zone = "cabin"

[feed.coils_56]
name = "Relay coils, headlamp bus"
from = "lamp_bus"
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
zone = "cabin"

# Earths: points that lead back to the battery, a tree. The root, the negative post, has no `to`.
# `resistance` is that of body panels and joints on the way: measure millivolts with a known current.

[earth.battery_negative]
name = "Battery negative post"
zone = "engine_bay"

[earth.body_front]
name = "Body, front"
to = "battery_negative"
wire = [{ size = "70 mm2", length = "0.4 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "engine_bay"

[earth.engine_block]
name = "Engine block"
to = "battery_negative"
wire = [{ size = "70 mm2", length = "0.8 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "engine_bay"
engine = true

[earth.sensor_earth]
name = "Sensor earth of the control unit"   # sensors only: no power earth on it
to = "engine_block"
wire = [{ size = "1 mm2", length = "1 m", zone = "engine_bay", insulation = "xlpe125" }]
zone = "engine_bay"
engine = true

[earth.body_cabin]
name = "Body, cabin"
to = "body_front"
resistance = "1 mohm"   # an example: measure
zone = "cabin"

[earth.body_rear]
name = "Body, rear"
to = "body_front"
resistance = "1 mohm"   # an example: measure
zone = "boot"

# Circuits: from a feed, through fuse and relay or switch, along wires, to loads, back through an earth point.
# A fuse without a rating is proposed. evidence: measured, plate (printed on the part), published, typical, guess,
# or limit: what a socket is rated for, whatever is plugged in.
"""


def usual_circuits(system: str) -> tuple[str, ...]:
    """What is usual in a road car of a system voltage: at 6 V an ignition coil with a contact breaker in the place of
    injection, its pump and an electric fan. Common practice, no source."""
    without = tuple(each for each in CIRCUITS if each not in _OF_INJECTION)
    return CIRCUITS if system != "6" else ("ignition_coil_oil", *without)


def starter_plan(name: str, definitions: Iterable[str] | None = None, system: str = LIBRARY_SYSTEM) -> str:
    """Text of a first plan with some circuits of the library.

    Parameters
    ----------
    name : what the plan is for
    definitions : ids of the library's definitions to copy in, in this order; left out, what is usual at that voltage
    system : system voltage in V, one of `SYSTEMS`

    Returns
    -------
    A plan that reads without a problem.

    Raises
    ------
    EditError
        A definition is not known, or needs something the first plan does not have.
    """
    zones = "".join(
        f"\n[zone.{zone}]\nname = {literal(words)}\nambient = {literal(ambient)}\n"
        for zone, (words, ambient) in ZONES.items()
    )
    head = _HEAD.format(name=literal(name), system=system, **_EXAMPLES[system])
    other = "" if system == LIBRARY_SYSTEM else _OTHER_PARTS.format(system=system)
    document = PlanDocument.from_text(head + zones + _TREES + other)
    for chosen in usual_circuits(system) if definitions is None else definitions:
        fitted = circuit_for(document.plan, chosen)
        if fitted.missing:
            raise EditError(f"'{chosen}' cannot stand in a first plan: {'; '.join(fitted.reports)}")
        for circuit, text in fitted.texts.items():
            document.insert_circuit(circuit, text)
            if document.plan.circuit[circuit].role == "alternator_exciter":
                document.set(("alternator", "exciter"), circuit)
    return document.text
