"""Invented plans made by rule, for the tests that need many of them: the judges, the laws and the bench; and the text
of one circuit, for the tests that need a few.

Each plan is a plain dict as it would stand in a file, so that a test can still change it before it is read.
"""

from __future__ import annotations

import random
from typing import Any

from fuseplan.plan.model import Plan
from fuseplan.plan.references import Path
from fuseplan.planfile.plain import section_text

ZONES = {"cabin": "45 degC", "engine_bay": "80 degC", "boot": "40 degC", "underbody": "45 degC", "door": "45 degC"}
PLACES = ("battery_tray", "bulkhead", "dash_left", "dash_right", "sill", "boot_left", "boot_right", "nose")
INSULATIONS = {"cabin": "pvc70", "engine_bay": "xlpe125", "boot": "pvc70", "underbody": "pvc105", "door": "pvc105"}
# (kind, watts at 13.5 V, size, words, use): what a car holds, roughly in the mix it holds it.
MIX: tuple[tuple[str, float, str, tuple[str, ...], str], ...] = (
    ("lamp", 10, "1 mm2", ("night",), "continuous"),
    ("lamp", 21, "1.5 mm2", ("braking",), "intermittent"),
    ("lamp", 55, "2.5 mm2", ("night",), "continuous"),
    ("motor", 80, "4 mm2", ("engine", "prime"), "continuous"),
    ("motor", 60, "2.5 mm2", ("rain",), "prolonged"),
    ("motor", 110, "6 mm2", ("hot",), "prolonged"),
    ("resistive", 100, "4 mm2", ("demist",), "prolonged"),
    ("resistive", 40, "1.5 mm2", ("demist",), "prolonged"),
    ("electronic", 12, "0.75 mm2", ("key_on", "engine"), "continuous"),
    ("electronic", 25, "1 mm2", ("cabin",), "continuous"),
    ("coil", 15, "1 mm2", ("engine",), "continuous"),
    ("lamp", 21, "1.5 mm2", ("turning", "hazard"), "intermittent"),
)
EVIDENCE = ("measured", "plate", "published", "typical", "guess")
IGNITION = ("ignition", "crank", "running", "run_on")


def path_of(key: str) -> Path:
    """A dotted key of the plan as the steps of a path; no name in it holds a dot or is a number."""
    return tuple(int(step) if step.isdigit() else step for step in key.split("."))


def plan_of(data: dict[str, Any]) -> Plan:
    """The plan a dict stands for."""
    return Plan.model_validate(data)


def cabin_wire(size: str | None, length: str, insulation: str = "pvc70") -> list[dict[str, Any]]:
    """A wire in the cabin, in one length; None for a size that is not stated."""
    sized = {} if size is None else {"size": size}
    return [{**sized, "length": length, "zone": "cabin", "insulation": insulation}]


def load(current: str | None, **keys: Any) -> dict[str, Any]:
    """A load whose current at 14.2 V was measured, resistive and on with the engine where `keys` do not say otherwise;
    None for one whose power they give."""
    stated = {} if current is None else {"current": current, "at": "14.2 V"}
    return {**stated, "kind": "resistive", "when": ["engine"], "evidence": "measured", **keys}


def circuit_text(name: str, *loads: dict[str, Any], wire: list[dict[str, Any]], **keys: Any) -> str:
    """A circuit as it would stand in a file, between the battery's posts where `keys` do not say otherwise."""
    return "\n" + section_text(("circuit", name), {"feed": "battery_post", "earth": "battery_negative", "wire": wire,
                                                   **keys, "load": list(loads)})


def fuse(rating: str, kind: str = "blade") -> dict[str, Any]:
    """A fuse of a rating."""
    return {"kind": kind, "rating": rating}


def _wire(rng: random.Random, size: str, runs: list[str], shortest: float = 0.5) -> list[dict[str, Any]]:
    """One stretch, along a run or with a length of its own."""
    zone = rng.choice(tuple(ZONES))
    if runs and rng.random() < 0.6:
        return [{"size": size, "along": [rng.choice(runs)], "insulation": "xlpe125"}]
    return [{"size": size, "length": f"{shortest * (1 + 4 * rng.random()):.2f} m", "zone": zone,
             "insulation": INSULATIONS[zone]}]


MOST_COIL_OHM = {"mini_40": 215, "micro_30": 285}
"""A coil of more is one for another system voltage."""


def large_plan(circuits: int, seed: int = 1) -> dict[str, Any]:
    """A plan of any number of circuits, with feeds, relays, runs, earths and `either` groups in a car's proportion.

    Above 60 circuits each load is smaller, so that all together stay those of a car, and most circuits are in order;
    coils cannot be as much smaller, so that an alternator for more than 1,000 circuits is larger.
    """
    rng = random.Random(seed * 100_003 + circuits)
    buses, earths, loom = max(4, circuits // 5), max(3, circuits // 3), max(4, circuits // 3)
    scale = max(1.0, circuits / 60)
    output = (400, 300) if circuits <= 1_000 else (600, 500)
    data: dict[str, Any] = {
        "fuseplan": 1,
        "vehicle": {"name": f"{circuits} circuits"},
        "battery": {"capacity": "60 Ah", "open_circuit": "12.6 V", "internal_resistance": "9 mohm"},
        "alternator": {"rated": f"{output[0]} A", "low_speed": f"{output[1]} A", "pulley_ratio": 2.4,
                       "regulator_voltage": "14.2 V", "cable": [{
                           "size": "95 mm2", "length": "1 m", "zone": "engine_bay", "insulation": "xlpe125",
                           "cover": "sleeve"}]},
        "zone": {name: {"ambient": ambient} for name, ambient in ZONES.items()},
        "run": {f"run_{number}": {"from": PLACES[number % 8], "to": PLACES[(number + 1 + number // 8) % 8],
                                  "length": f"{0.4 + 1.4 * rng.random():.2f} m", "zone": rng.choice(tuple(ZONES))}
                for number in range(loom)},
        "feed": {"battery_post": {"zone": "cabin"}},
        "earth": {"battery_negative": {}},
        "circuit": {},
    }
    for number in range(buses):
        data["feed"][f"bus_{number}"] = _bus(number)
    for number in range(earths):
        data["earth"][f"stud_{number}"] = {"to": "battery_negative", "resistance": "1 mohm",
                                           "wire": [{"size": "10 mm2", "length": "0.5 m"}]}
    runs = list(data["run"])
    for number in range(circuits):
        bus = rng.randrange(buses)
        if MIX[number % len(MIX)][3] in (("hot",), ("turning", "hazard")):
            bus -= bus % 4
        data["circuit"][f"circuit_{number}"] = _circuit(rng, number, bus, number % earths, runs, scale)
    return data


def _bus(number: int) -> dict[str, Any]:
    """Every fourth bus hangs on the battery behind a bolted fuse, the others on it behind a fuse each."""
    trunk = number - number % 4
    if number == trunk:
        return {"from": "battery_post", "zone": "cabin", "fuse": {"kind": "mega", "rating": "125 A"},
                "wire": [{"size": "50 mm2", "length": "0.6 m", "zone": "cabin", "insulation": "pvc105"}]}
    bus: dict[str, Any] = {"from": f"bus_{trunk}", "zone": "cabin", "fuse": {"kind": "maxi", "rating": "60 A"},
                           "wire": [{"size": "16 mm2", "length": "0.6 m", "zone": "cabin", "insulation": "pvc105"}]}
    if number % 4 == 1:
        bus["relay"] = {"contact": "maxi_70", "coil_feed": f"bus_{trunk}", "driver": "ecu", "driver_limit": "1 A",
                        "suppression": "diode"}
    elif number % 4 == 2:
        bus["live"] = list(IGNITION)
    return bus


def _circuit(rng: random.Random, number: int, bus: int, stud: int, runs: list[str], scale: float
             ) -> dict[str, Any]:
    """One circuit; its loads and its relay's coil take the `scale`-th part of what they take in a car of 60."""
    kind, watts, size, words, use = MIX[number % len(MIX)]
    load: dict[str, Any] = {
        "name": f"load {number}", "power": f"{watts * (0.8 + 0.4 * rng.random()) / scale:.4g} W", "at": "13.5 V",
        "kind": kind,
        "inrush": 1.5, "inrush_time": "50 ms", "use": use, "duty": round(0.2 + 0.8 * rng.random(), 2),
        "when": list(words), "evidence": rng.choice(EVIDENCE[:4]),
    }
    if kind == "electronic" and number % 24 == 8:
        load["standby"] = "1 mA"
    loads = [load]
    if number % 5 == 0 and watts < 60:
        second = {**load, "name": f"load {number}, second", "wire": _wire(rng, size, runs, 0.3)}
        if number % 10 == 0:
            load["either"] = second["either"] = f"group_{number}"
        loads.append(second)
    circuit: dict[str, Any] = {
        "role": "other",
        "name": f"Circuit {number}", "feed": f"bus_{bus}", "wire": _wire(rng, size, runs, 0.3),
        "earth": f"stud_{stud}",
        "earth_wire": [{"size": size, "length": "0.4 m", "zone": "cabin", "insulation": "pvc105"}],
        "drop_class": "lamp" if kind == "lamp" else "control", "load": loads,
        "fuse": {"kind": "blade"} if number % 2 or watts > 30 else {"kind": "mini", "rating": "10 A"},
    }
    if kind in ("motor", "resistive"):
        coil = min(90 * scale, MOST_COIL_OHM["micro_30"])
        circuit["relay"] = {"contact": "mini_40" if coil < MOST_COIL_OHM["mini_40"] else "micro_30",
                            "coil_feed": f"bus_{bus}", "driver": "switch", "suppression": "diode",
                            "coil": f"{coil:.6g} ohm"}
    return circuit


def random_plan(seed: int, kinds: tuple[str, ...] = ("resistive", "coil", "motor", "lamp", "electronic")
                ) -> dict[str, Any]:
    """A small plan of random shape: deep and shallow trees, loads with wires and earths of their own, an alternator
    here and none there, weak and strong batteries. Every name leads somewhere."""
    rng = random.Random(seed)
    data: dict[str, Any] = {
        "fuseplan": 1,
        "battery": {"open_circuit": f"{rng.uniform(12.2, 12.8):.3f} V",
                    "internal_resistance": f"{rng.uniform(4, 15):.2f} mohm"},
        "zone": {name: {"ambient": ambient} for name, ambient in ZONES.items()},
        "run": {}, "feed": {"root": {}}, "earth": {"negative": {}}, "circuit": {},
    }
    for number in range(rng.randrange(4)):
        data["run"][f"run_{number}"] = {"from": f"place_{number}", "to": f"place_{number + 1}",
                                        "length": f"{rng.uniform(0.4, 2.5):.2f} m", "zone": rng.choice(tuple(ZONES))}
    runs = list(data["run"])
    for number in range(rng.randint(1, 6)):
        above = rng.choice(list(data["feed"]))
        feed: dict[str, Any] = {"from": above, "wire": _wire(rng, rng.choice(("6 mm2", "10 mm2", "AWG 6")), runs)}
        if rng.random() < 0.5:
            feed["fuse"] = {"kind": "maxi", "rating": rng.choice(("40 A", "50 A"))}
        if rng.random() < 0.4:
            feed["live"] = rng.sample(["off", "accessory", "ignition", "crank", "running", "run_on"], 4)
        if rng.random() < 0.3:
            feed["relay"] = {"contact": "mini_40", "coil_feed": rng.choice(list(data["feed"])), "suppression": "diode"}
        elif rng.random() < 0.3:
            feed["switch"] = {"resistance": f"{rng.uniform(1, 10):.2f} mohm"}
        data["feed"][f"feed_{number}"] = feed
    for number in range(rng.randint(1, 5)):
        data["earth"][f"earth_{number}"] = {
            "to": rng.choice(list(data["earth"])), "resistance": f"{rng.uniform(0, 4):.2f} mohm",
            "wire": _wire(rng, "10 mm2", []) if rng.random() < 0.6 else []}
    if rng.random() < 0.7:
        data["alternator"] = {"rated": f"{rng.randint(20, 90)} A", "pulley_ratio": 2.2, "regulator_voltage": "14.2 V",
                              "cable": _wire(rng, "16 mm2", []), "feed": rng.choice(list(data["feed"])),
                              "earth": rng.choice(list(data["earth"]))}
        if any("live" in feed or "relay" in feed for feed in data["feed"].values()):
            data["alternator"]["feed"] = "root"
    for number in range(rng.randint(4, 14)):
        data["circuit"][f"circuit_{number}"] = _random_circuit(rng, data, kinds, runs)
    return data


def near_limit_plan(seed: int, output_a: float) -> dict[str, Any]:
    """A random plan whose loads are mostly of constant power, all of them always on, with an alternator that gives
    `output_a` at every speed and a battery that may be weak and low."""
    rng = random.Random(seed)
    data = random_plan(seed, ("electronic", "electronic", "lamp", "resistive"))
    data["battery"] = {"open_circuit": f"{rng.uniform(11.6, 12.6):.2f} V",
                       "internal_resistance": f"{rng.uniform(5, 60):.1f} mohm"}
    data["alternator"] = {
        "curve": [{"speed": f"{speed} r/min", "current": f"{output_a!r} A"} for speed in (800, 9000)],
        "pulley_ratio": 2.2, "regulator_voltage": "14.2 V", "feed": "root", "earth": "negative",
        "cable": [{"size": "16 mm2", "length": "1.2 m", "zone": "cabin", "insulation": "pvc105"}]}
    for circuit in data["circuit"].values():
        circuit.pop("relay", None)
        if "fuse" in circuit:
            circuit["fuse"]["rating"] = "20 A"
        for load in circuit["load"]:
            load["when"] = ["always"]
    return data


def resistive_plan(seed: int) -> dict[str, Any]:
    """The same with loads whose current is proportional to the voltage."""
    return random_plan(seed, ("resistive", "coil", "motor"))


def _random_circuit(rng: random.Random, data: dict[str, Any], kinds: tuple[str, ...], runs: list[str]
                    ) -> dict[str, Any]:
    feeds, earths = list(data["feed"]), list(data["earth"])
    size = rng.choice(("0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "AWG 16", "SAE 14", "AV 2"))
    loads = []
    for _ in range(rng.randint(1, 3)):
        load: dict[str, Any] = {
            "power": f"{rng.uniform(2, 90):.2f} W", "at": rng.choice(("12 V", "13.5 V")), "kind": rng.choice(kinds),
            "use": rng.choice(("continuous", "prolonged", "intermittent", "momentary")),
            "when": rng.sample(["always", "engine", "night", "rain", "hot", "cabin", "key_on", "crank", "hazard"], 2),
            "evidence": rng.choice(EVIDENCE), "duty": round(rng.random(), 2),
        }
        if rng.random() < 0.3:
            load["wire"] = _wire(rng, size, runs)
        if rng.random() < 0.3:
            load["earth"] = rng.choice(earths)
        if rng.random() < 0.3:
            load["earth_wire"] = _wire(rng, size, [])
        if rng.random() < 0.2:
            load["either"] = rng.choice(("one", "two"))
        if rng.random() < 0.2:
            load["standby"] = "5 mA"
        loads.append(load)
    wire = _wire(rng, size, runs)
    if rng.random() < 0.4:
        wire += _wire(rng, "2.5 mm2", runs)
        wire[0]["joint"] = {"method": "crimp", "resistance": f"{rng.uniform(0.5, 30):.2f} mohm"}
    circuit: dict[str, Any] = {"feed": rng.choice(feeds), "wire": wire, "earth": rng.choice(earths), "load": loads}
    if rng.random() < 0.8:
        circuit["fuse"] = {"kind": rng.choice(("mini", "blade"))}
        if rng.random() < 0.5:
            circuit["fuse"]["rating"] = rng.choice(("7.5 A", "10 A", "15 A", "20 A"))
    if rng.random() < 0.6:
        circuit["earth_wire"] = _wire(rng, size, [])
    if rng.random() < 0.3:
        circuit["relay"] = {"contact": rng.choice(("mini_40", "micro_30")), "coil_feed": rng.choice(feeds),
                            "suppression": "diode"}
    elif rng.random() < 0.3:
        circuit["switch"] = {"resistance": f"{rng.uniform(1, 20):.2f} mohm"}
    return circuit
