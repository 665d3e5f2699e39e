"""What a definition of the library brings, in a few labelled lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from fuseplan.engine.relays import for_loads
from fuseplan.planfile.library import Definition
from fuseplan.planfile.usual_parts import usual_names
from fuseplan.quantities import writing
from fuseplan.tables.relays import CONTACTS


def circuit_facts(definition: Definition) -> Iterator[list[tuple[str, str]]]:
    """For each circuit of a definition, (label, text) for its feed, fuse, wires, earth, relay and loads."""
    for name, table in definition.circuits.items():
        yield [(label, writing.as_printed(text)) for label, text in _facts(name, table) if text]


def _facts(name: str, table: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    role = str(table.get("role", "")).replace("_", " ")
    yield "Circuit", f"{table.get('name', name)}{f' (role: {role})' if role else ''}"
    yield "Feed", _named("feed", table.get("feed"))
    fuse = table.get("fuse")
    if isinstance(fuse, dict):
        yield "Fuse", f"{fuse.get('kind')}, {fuse.get('rating', 'rating proposed by its load and wire')}"
    yield "Cut-off", ", ".join(table.get("cut_off", ())).replace("_", " ")
    yield "Unfused", str(table.get("unfused", ""))
    yield "Wire", _wire(table.get("wire", ()))
    yield "Earth", _named("earth", table.get("earth"))
    yield "Earth wire", _wire(table.get("earth_wire", ()))
    relay, switch = table.get("relay"), table.get("switch")
    if isinstance(relay, dict):
        yield "Relay", f"{_contact(str(relay.get('contact')))}, coil from {_named('feed', relay.get('coil_feed'))}"
        yield "Driven by", str(relay.get("driver", "not stated")).replace("_", " ")
    if isinstance(switch, dict):
        yield "Switch", f"{switch['rating']}{for_loads(switch.get('rated_for'))}" if "rating" in switch else \
            "rating unknown"
    yield "Must run", ", ".join(table.get("must_run", ()))
    yield "Must stop", ", ".join(table.get("must_stop", ()))
    for load in table.get("load", ()):
        figure = load.get("current") or load.get("power") or "current unknown"
        at = f" at {load['at']}" if "at" in load else ""
        kind = f", {load['kind']}" if "kind" in load else ""
        yield "Load", f"{load.get('name', 'load')}: {figure}{at}{kind}, {load.get('evidence', 'guess')}"


def _wire(segments: Iterable[Mapping[str, Any]]) -> str:
    return " + ".join(", ".join(str(each) for each in (
        segment.get("size"), segment.get("length"), _named("zone", segment.get("zone")), segment.get("insulation"),
        segment.get("cover")) if each) for segment in segments)


def _contact(name: str) -> str:
    found = CONTACTS.get(name)
    return f"{found.words} ({name})" if found is not None else name


def _named(kind: str, name: object) -> str:
    """The name of a feed, earth point or zone the definitions name; the id where a user's own names another."""
    return usual_names(kind).get(str(name), str(name)) if name else ""
