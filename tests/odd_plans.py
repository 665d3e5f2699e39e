"""Plans of odd shape that grow with one number: chains, rings, crowded runs, boxes and groups. Nobody wires a car like
this; a typing error or a converted list may look like it, and no command may fail or take minutes over it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

_WIRE = [{"size": "6 mm2", "length": "0.1 m", "zone": "cabin", "insulation": "pvc105"}]


def _base() -> dict[str, Any]:
    return {
        "fuseplan": 1, "battery": {"capacity": "60 Ah", "cold_crank": "540 A"},
        "alternator": {"rated": "90 A", "pulley_ratio": 2.4}, "zone": {"cabin": {"ambient": "45 degC"}}, "run": {},
        "feed": {"post": {"zone": "cabin"}}, "earth": {"negative": {}}, "circuit": {},
    }


def _circuit(feed: str = "post", earth: str = "negative", wire: list[dict[str, Any]] | None = None, **load: Any
             ) -> dict[str, Any]:
    return {"feed": feed, "earth": earth, "fuse": {"kind": "blade"}, "wire": wire or _WIRE,
            "load": [{"current": "2 A", "kind": "lamp", "when": ["always"], "evidence": "typical", **load}]}


def feeds(count: int) -> dict[str, Any]:
    """Each feed from the one before it."""
    data, up = _base(), "post"
    for number in range(count):
        data["feed"][f"f{number}"] = {"from": up, "wire": _WIRE}
        up = f"f{number}"
    data["circuit"]["end"] = _circuit(up)
    return data


def fused_feeds(count: int) -> dict[str, Any]:
    """The same with a fuse in each, every one of them in the current's way."""
    data = feeds(count)
    for number in range(count):
        data["feed"][f"f{number}"]["fuse"] = {"kind": "maxi"}
    return data


def switched_feeds(count: int) -> dict[str, Any]:
    """The same behind relays closed by hand, each coil fed from the feed above and drawing next to nothing."""
    data, up = feeds(count), "post"
    for number in range(count):
        data["feed"][f"f{number}"] |= {"wire": [], "relay": {
            "contact": "mini_40", "coil_feed": up, "coil": "10000 ohm", "suppression": "diode", "driver": "switch"}}
        up = f"f{number}"
    return data


def earths(count: int) -> dict[str, Any]:
    data, up = _base(), "negative"
    for number in range(count):
        data["earth"][f"e{number}"] = {"to": up, "wire": _WIRE}
        up = f"e{number}"
    data["circuit"]["end"] = _circuit("post", up)
    return data


def runs(count: int) -> dict[str, Any]:
    """One wire through runs end to end."""
    data = _base()
    for number in range(count):
        data["run"][f"r{number}"] = {"from": f"p{number}", "to": f"p{number + 1}", "length": "0.02 m", "zone": "cabin"}
    data["circuit"]["end"] = _circuit(wire=[{"size": "2.5 mm2", "along": list(data["run"]), "insulation": "pvc105"}])
    return data


def segments(count: int) -> dict[str, Any]:
    """One wire of many sizes."""
    data = _base()
    data["circuit"]["end"] = _circuit(wire=[
        {"size": ("1.5 mm2", "2.5 mm2")[number % 2], "length": "0.02 m", "zone": "cabin", "insulation": "pvc105"}
        for number in range(count)])
    return data


def relays(count: int, ring: bool = False) -> dict[str, Any]:
    """Feeds side by side, each coil fed from behind the relay before it."""
    data = _base()
    first = f"f{count - 1}" if ring else "post"
    for number in range(count):
        data["feed"][f"f{number}"] = {"from": "post", "wire": _WIRE, "relay": {
            "contact": "mini_40", "coil_feed": f"f{number - 1}" if number else first, "suppression": "diode"}}
    data["circuit"]["end"] = _circuit(f"f{count - 1}")
    return data


def relay_ring(count: int) -> dict[str, Any]:
    """The same closed to a circle: all of them wait for each other."""
    return relays(count, ring=True)


def groups(count: int) -> dict[str, Any]:
    """Two circuits a group, one of them on at a time."""
    data = _base()
    for number in range(count):
        data["circuit"][f"c{number}"] = _circuit(either=f"g{number // 2}", current=f"{1 + number % 7} A")
    return data


def words(count: int) -> dict[str, Any]:
    """A load and a condition that list many words."""
    data = _base()
    listed = [f"w{number}" for number in range(count)]
    data["circuit"]["one"] = _circuit(when=listed)
    data["condition"] = {"all": {"state": "running", "engine": "1000 r/min", "when": listed, "duration": "10 min"}}
    return data


def conditions(count: int) -> dict[str, Any]:
    data = _base()
    data["circuit"]["one"] = _circuit(when=["engine"])
    data["condition"] = {f"k{number}": {"state": "running", "engine": f"{800 + number} r/min", "when": ["engine"],
                                        "duration": "10 min"} for number in range(count)}
    return data


def legs(count: int) -> dict[str, Any]:
    """A trip of many long legs."""
    data = _base()
    data["circuit"]["one"] = _circuit(when=["engine"])
    data["trip"] = {"long": {"leg": [{"condition": ("cruise_day", "idle_wet_night")[number % 2], "duration": "20 d"}
                                     for number in range(count)]}}
    return data


def positions(count: int) -> dict[str, Any]:
    data = _base()
    data["fuse_box"] = {"box": {"feed": "post", "position": {f"F{number}": {"largest": "20 A"}
                                                             for number in range(count)}}}
    for number in range(count):
        data["circuit"][f"c{number}"] = _circuit()
        data["circuit"][f"c{number}"]["fuse"]["position"] = f"F{number}"
    return data


def one_run(count: int) -> dict[str, Any]:
    """Many wires in one run, with a joint each."""
    data = _base()
    data["run"]["r"] = {"from": "a", "to": "b", "length": "2 m", "zone": "cabin"}
    for number in range(count):
        data["circuit"][f"c{number}"] = _circuit(wire=[
            {"size": "1.5 mm2", "along": ["r"], "insulation": "pvc105", "joint": {"method": "crimp"}}])
    return data


def too_much(count: int) -> dict[str, Any]:
    """More lamps than any battery feeds, each at the end of a wire too thin for it."""
    data = _base()
    for number in range(count):
        data["circuit"][f"c{number}"] = _circuit(current="30 A", evidence="guess", wire=[
            {"size": "0.5 mm2", "length": "20 m", "zone": "cabin", "insulation": "pvc105"}])
    return data


CHAINS: dict[str, Callable[[int], dict[str, Any]]] = {
    each.__name__: each for each in (feeds, fused_feeds, switched_feeds, earths, runs, segments, relays, relay_ring)}
CROWDS: dict[str, Callable[[int], dict[str, Any]]] = {
    each.__name__: each for each in (groups, words, conditions, legs, positions, one_run, too_much)}
