"""A first plan to fill in: commented, complete enough to be assessed, with the names the library uses."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

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

_TREES = Path(__file__).with_name("starter_trees.toml")
"""Feeds and earth points of every first plan, with their comments."""


def usual_circuits(system: str) -> tuple[str, ...]:
    """What is usual in a road car of a system voltage: at 6 V an ignition coil with a contact breaker in the place of
    injection, its pump and an electric fan. Common practice, no source."""
    without = tuple(each for each in CIRCUITS if each not in _OF_INJECTION)
    return CIRCUITS if system != "6" else ("ignition_coil_oil", *without)


def starter_plan(name: str, definitions: Iterable[str] | None = None, system: str = LIBRARY_SYSTEM) -> str:
    """Text of a first plan with some circuits of the library.

    Args:
        name: what the plan is for
        definitions: ids of the library's definitions to copy in, in this order; left out, what is usual at that voltage
        system: system voltage in V, one of `SYSTEMS`
    Returns:
        A plan that reads without a problem.
    Raises:
        EditError: A definition is not known, or needs something the first plan does not have.
    """
    zones = "".join(
        f"\n[zone.{zone}]\nname = {literal(words)}\nambient = {literal(ambient)}\n"
        for zone, (words, ambient) in ZONES.items()
    )
    head = _HEAD.format(name=literal(name), system=system, **_EXAMPLES[system])
    other = "" if system == LIBRARY_SYSTEM else _OTHER_PARTS.format(system=system)
    document = PlanDocument.from_text(f"{head}{zones}\n{_TREES.read_text(encoding='utf-8')}{other}")
    for chosen in usual_circuits(system) if definitions is None else definitions:
        fitted = circuit_for(document.plan, chosen)
        if fitted.missing:
            raise EditError(f"'{chosen}' cannot stand in a first plan: {'; '.join(fitted.reports)}")
        for circuit, text in fitted.texts.items():
            document.insert_circuit(circuit, text)
            if document.plan.circuit[circuit].role == "alternator_exciter":
                document.set(("alternator", "exciter"), circuit)
    return document.text
