"""Which figure explains each key of the result document, and which keys need no working, with the reason.

The one place that ties the document to the workings: a key in neither list fails the tests.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import Any

_SEGMENT = {
    "size_mm2": "size", "length_m": "length", "resistance_ohm": "resistance", "ampacity_a": "ampacity",
    "current_a": "current", "temperature_c": "temperature", "table_temperature_c": "table_temperature",
    "balance_ampacity_a": "balance_ampacity", "fault_a": "fault", "fault_temperature_c": "fault_temperature",
    "conductors": "conductors",
}
_FUSE = {"rating_a": "rating", "proposed": "proposed", "window_a.0": "window.low", "window_a.1": "window.high",
         "share": "share"}
_CONDITION = {"bus_v": "bus", "demand_a": "demand", "peak_a": "peak", "available_a": "available",
              "balance_a": "balance", "battery_a": "battery"}

EXPLAINED: dict[str, str] = {
    **{f"conditions.{{id}}.{key}": f"power.{{id}}.{figure}" for key, figure in _CONDITION.items()},
    **{f"{section}.{{id}}.segments.{{place}}.{key}": f"{kind}.{{id}}.{{place}}.{figure}"
       for section, kind in (("circuits", "circuit"), ("feeds", "feed"), ("earths", "earth"))
       for key, figure in _SEGMENT.items()},
    **{f"{section}.{{id}}.fuse.{key}": f"{kind}.{{id}}.fuse.{figure}"
       for section, kind in (("circuits", "circuit"), ("feeds", "feed")) for key, figure in _FUSE.items()},
    **{f"circuits.{{id}}.design_a.{key}": f"circuit.{{id}}.design.{key}" for key in ("5s", "5min", "continuous")},
    "circuits.{id}.in_condition.{condition}.current_a": "circuit.{id}.current.{condition}",
    "circuits.{id}.in_condition.{condition}.load_v.{index}": "circuit.{id}.load.{index}.volts.{condition}",
    "circuits.{id}.drop.volts": "circuit.{id}.drop",
    "circuits.{id}.drop.supply_v": "circuit.{id}.drop.supply",
    "circuits.{id}.drop.return_v": "circuit.{id}.drop.return",
    "circuits.{id}.drop.limit_v": "circuit.{id}.drop.limit",
    "circuits.{id}.relay.needed": "circuit.{id}.relay",
    "circuits.{id}.fault.prospective_a": "circuit.{id}.fault.prospective",
    "circuits.{id}.fault.far_end_a": "circuit.{id}.fault.far_end",
    "circuits.{id}.fault.opens_within_s": "circuit.{id}.fault.opens_within",
    "feeds.{id}.resistance_ohm": "feed.{id}.resistance",
    "feeds.{id}.in_condition.{condition}.volts": "feed.{id}.volts.{condition}",
    "feeds.{id}.in_condition.{condition}.current_a": "feed.{id}.current.{condition}",
    "earths.{id}.resistance_ohm": "earth.{id}.resistance",
    "earths.{id}.in_condition.{condition}.volts": "earth.{id}.volts.{condition}",
    "earths.{id}.in_condition.{condition}.current_a": "earth.{id}.current.{condition}",
    "power.alternator_rated_a": "power.rated",
    "power.setpoint_v": "power.setpoint",
    "power.open_circuit_v": "power.open_circuit",
    "power.continuous_share_limit": "power.share_limit",
    **{f"power.in_condition.{{condition}}.{key}": f"power.{{condition}}.{figure}"
       for key, figure in (("rotor_rpm", "rotor"), ("available_a", "available"), ("continuous_a", "continuous"),
                           ("demand_a", "demand"), ("peak_a", "peak"), ("balance_a", "balance"))},
}
"""Key of the document, and the address of its figure. ``{id}``, ``{place}``, ``{condition}`` and ``{index}`` stand
for what the document names there. ``relay.needed`` is a flag; its figure is the switch rating the flag rests on."""

NOT_EXPLAINED: dict[str, tuple[str, ...]] = {
    "a name, an id, a word or a place": (
        "fuseplan", "plan", "guidance", "*.id", "*.name", "*.feed", "*.from", "*.to", "*.state", "*.verdict",
        "*.missing", "*.missing.{index}", "*.drop.class", "*.drop.condition", "*.drop.load", "*.fuse.kind",
        "*.fuse.colour", "*.fuse.position", "*.side", "*.place", "*.insulation", "*.relay.why"),
    "a flag: its reason is in the figures beside it": (
        "*.live", "*.fuse.entered", "*.binding", "*.survives", "*.fault.wire_survives", "*.fault.may_never_open",
        "*.fault.limits_on_file"),
    "as entered in the plan: the zone's ambient, the condition's engine speed": ("*.ambient_c", "*.engine_rpm"),
    "nothing there: the part does not exist": ("*.fuse", "*.drop"),
    "a finding: its figure and limit are explained at their own addresses, its texts are the check's": ("findings*",),
}
"""Patterns of keys that need no working, by the reason."""


@dataclass(frozen=True)
class Leaf:
    """One value of the document: its key with the names taken out, the names, and the value."""

    key: str
    names: dict[str, str]
    value: object

    @property
    def address(self) -> str | None:
        """Address of the figure that explains it; None where none does."""
        template = EXPLAINED.get(self.key)
        return None if template is None else template.format(**self.names)

    @property
    def reason(self) -> str | None:
        """Why it needs no working; None where that is not listed."""
        return next((reason for reason, patterns in NOT_EXPLAINED.items()
                     if any(fnmatchcase(self.key, pattern) for pattern in patterns)), None)


def leaves(document: dict[str, Any]) -> Iterator[Leaf]:
    """Every value of a result document."""
    yield from _walk(document, (), {})


def _walk(value: object, key: tuple[str, ...], names: dict[str, str]) -> Iterator[Leaf]:
    if isinstance(value, dict) and value:
        for name, item in value.items():
            if key and key[-1] == "in_condition":
                yield from _walk(item, (*key, "{condition}"), names | {"condition": name})
            else:
                yield from _walk(item, (*key, name), names)
    elif isinstance(value, (list, tuple)) and value:
        for number, item in enumerate(value):
            token, more = _element(key, number, item)
            yield from _walk(item, (*key, token), names | more)
    else:
        yield Leaf(".".join(key), names, value)


def _element(key: tuple[str, ...], number: int, item: object) -> tuple[str, dict[str, str]]:
    if key[-1] == "window_a":
        return str(number), {}
    for name in ("id", "place"):
        if isinstance(item, dict) and name in item:
            return f"{{{name}}}", {name: str(item[name])}
    return "{index}", {"index": str(number)}
