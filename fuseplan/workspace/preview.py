"""What a definition of the library brings, in a few labelled lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from fuseplan.planfile.library import Definition


def circuit_facts(definition: Definition) -> Iterator[list[tuple[str, str]]]:
    """For each circuit of a definition, (label, text) for its feed, fuse, wires, earth, relay and loads."""
    for name, table in definition.circuits.items():
        yield [(label, text) for label, text in _facts(name, table) if text]


def _facts(name: str, table: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    role = str(table.get("role", "")).replace("_", " ")
    yield "Circuit", f"{table.get('name', name)}{f' (role: {role})' if role else ''}"
    yield "Feed", str(table.get("feed", ""))
    fuse = table.get("fuse")
    if isinstance(fuse, dict):
        yield "Fuse", f"{fuse.get('kind')}, {fuse.get('rating', 'rating proposed by its load and wire')}"
    yield "Cut-off", ", ".join(table.get("cut_off", ())).replace("_", " ")
    yield "Unfused", str(table.get("unfused", ""))
    yield "Wire", _wire(table.get("wire", ()))
    yield "Earth", str(table.get("earth", ""))
    yield "Earth wire", _wire(table.get("earth_wire", ()))
    relay, switch = table.get("relay"), table.get("switch")
    if isinstance(relay, dict):
        driver = relay.get("driver", "?")
        yield "Relay", f"{relay.get('contact')}, coil from {relay.get('coil_feed')}, driven by {driver}"
    if isinstance(switch, dict):
        yield "Switch", str(switch.get("rating", "rating unknown"))
    yield "Must run", ", ".join(table.get("must_run", ()))
    yield "Must stop", ", ".join(table.get("must_stop", ()))
    for load in table.get("load", ()):
        figure = load.get("current") or load.get("power") or "current unknown"
        at = f" at {load['at']}" if "at" in load else ""
        kind = f", {load['kind']}" if "kind" in load else ""
        yield "Load", f"{load.get('name', 'load')}: {figure}{at}{kind}, {load.get('evidence', 'guess')}"


def _wire(segments: Iterable[Mapping[str, Any]]) -> str:
    return " + ".join(
        " ".join(str(each) for each in (segment.get("size"), segment.get("length"), segment.get("zone"),
                                        segment.get("insulation"), segment.get("cover")) if each)
        for segment in segments)
