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
    "balance_ampacity_a": "balance_ampacity", "table_alone_a": "table_alone", "fault_a": "fault",
    "fault_temperature_c": "fault_temperature",
    "conductors": "conductors",
}
_FUSE = {"rating_a": "rating", "proposed": "proposed", "window_a.0": "window.low", "window_a.1": "window.high",
         "share": "share"}
_CONDITION = {"bus_v": "bus", "average_bus_v": "average_bus", "demand_a": "demand", "peak_a": "peak",
              "available_a": "available", "balance_a": "balance", "battery_a": "battery"}

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
    **{f"{section}.{{id}}.fault.{key}": f"{kind}.{{id}}.fault.{figure}"
       for section, kind in (("circuits", "circuit"), ("feeds", "feed"))
       for key, figure in (("prospective_a", "prospective"), ("far_end_a", "far_end"),
                           ("opens_within_s", "opens_within"),
                           ("order", "order"), ("order_from_a", "order_from"))},
    "feeds.{id}.resistance_ohm": "feed.{id}.resistance",
    "feeds.{id}.in_condition.{condition}.volts": "feed.{id}.volts.{condition}",
    "feeds.{id}.in_condition.{condition}.current_a": "feed.{id}.current.{condition}",
    "earths.{id}.resistance_ohm": "earth.{id}.resistance",
    "earths.{id}.in_condition.{condition}.volts": "earth.{id}.volts.{condition}",
    "earths.{id}.in_condition.{condition}.current_a": "earth.{id}.current.{condition}",
    "power.alternator_rated_a": "power.rated",
    "power.regulator_v": "power.regulator_voltage",
    "power.open_circuit_v": "power.open_circuit",
    "power.continuous_share_limit": "power.share_limit",
    **{f"power.in_condition.{{condition}}.{key}": f"power.{{condition}}.{figure}"
       for key, figure in (
           ("rotor_rpm", "rotor"), ("available_a", "available"), ("continuous_a", "continuous"),
           ("demand_a", "demand"), ("peak_a", "peak"), ("balance_a", "balance"),
           ("balance_upper_a", "balance_upper"), ("bus_v", "average_bus"), ("alternator_a", "alternator"),
           ("discharge_if_low_a", "discharge_if_low"),
           ("continuous_share", "continuous_share"), ("peak_share", "peak_share"), ("shaft_w", "shaft"),
           ("flat_min", "flat"), ("no_start_min", "no_start"))},
    "power.peak_share_limit": "power.peak_limit",
    **{f"power.alternator.{key}": f"power.alternator.{figure}" for key, figure in (
        ("pulley_ratio", "pulley_ratio"), ("highest_rotor_rpm", "highest_rotor"),
        ("highest_engine_rpm", "highest_engine"), ("efficiency", "efficiency"), ("fuel_share", "fuel_share"))},
    **{f"power.battery.{key}": f"power.battery.{figure}" for key, figure in (
        ("capacity_ah", "capacity"), ("usable_ah", "usable"), ("warm_ohm", "warm_resistance"),
        ("cold_ohm", "cold_resistance"), ("peukert", "peukert"), ("no_start_share", "no_start_share"),
        ("freezing_c", "freezing"))},
    "power.battery.open_circuit_v": "power.open_circuit",
    "power.battery.reserve_conversions.{rule}.capacity_ah": "power.battery.conversion.{rule}",
    **{f"power.standing.{key}": f"power.standing.{figure}" for key, figure in (
        ("drain_a", "drain"), ("drain_upper_a", "drain_upper"), ("self_discharge_a", "self_discharge"),
        ("days", "days"), ("days_with_self_discharge", "days_with_self_discharge"), ("days_upper", "days_upper"),
        ("wanted_days", "wanted_days"))},
    "power.standing.usable_ah": "power.battery.usable",
    **{f"power.cranking.{key}": f"power.cranking.{figure}" for key, figure in (
        ("current_a", "current"), ("battery_v", "battery"), ("battery_upper_v", "battery_upper"),
        ("battery_limit_v", "battery_limit"), ("starter_v", "starter"), ("starter_w", "starter_power"),
        ("supply_drop_v", "supply_drop"), ("return_drop_v", "return_drop"), ("dip_battery_v", "dip_battery"),
        ("dip_current_a", "dip_current"))},
    **{f"power.cranking.consumers.{{index}}.{key}": f"power.cranking.consumer.{{index}}.{figure}"
       for key, figure in (("volts", "volts"), ("dip_v", "dip"), ("limit_v", "limit"))},
    **{f"power.alternator_cable.{key}": f"power.{figure}" for key, figure in (
        ("supply_ohm", "alternator_cable.supply_resistance"), ("return_ohm", "alternator_cable.return_resistance"),
        ("supply_drop_v", "alternator_cable.supply_drop"), ("return_drop_v", "alternator_cable.return_drop"),
        ("limit_ohm", "alternator_cable.limit_resistance"), ("limit_v", "alternator_cable.limit"),
        ("return_limit_v", "alternator_cable.return_limit"), ("exciter.current_a", "exciter.current"),
        ("exciter.wanted_a", "exciter.wanted"))},
    "power.reserve.wanted_min": "power.reserve.wanted",
    **{f"power.reserve.in_condition.{{condition}}.{key}": f"power.reserve.{{condition}}.{figure}"
       for key, figure in (("normal_a", "normal"), ("essential_a", "essential"), ("usable_ah", "usable"),
                           ("total_min", "total"))},
}
"""Key of the document, and the address of its figure. ``{id}``, ``{place}``, ``{rule}``, ``{condition}`` and
``{index}`` stand for what the document names there. ``relay.needed`` is a flag; its figure is the
switch rating the flag rests on."""

NOT_EXPLAINED: dict[str, tuple[str, ...]] = {
    "a name, an id, a word or a place": (
        "fuseplan", "plan", "limits", "*.id", "*.name", "*.role", "*.feed", "*.from", "*.to", "*.state", "*.verdict",
        "*.missing", "*.missing.{index}", "*.unknown", "*.unknown.{index}",
        "*.drop.class", "*.drop.condition", "*.drop.load", "*.fuse.kind",
        "*.fuse.colour", "*.fuse.position", "*.side", "*.place", "*.insulation", "*.relay.why", "*.owner_kind",
        "*.owner", "*.what", "*.kind", "*.rule", "*.condition", "*.starter", "*.guarded_by", "*.exciter.circuit"),
    "a source or a basis, in words: it stands beside the figure in its working": ("*source", "*basis"),
    "a flag: its reason is in the figures beside it": (
        "*.live", "*.fuse.entered", "*.binding", "*.survives", "*.fault.wire_survives", "*.fault.may_never_open",
        "*.fault.limits_on_file", "*.measured", "*.pulley_given", "*.highest_is_own", "*.guarded", "*.engine_strap",
        "*.must_run"),
    "as entered in the plan: the zone's ambient, the condition's engine speed, the state of charge":
        ("*.ambient_c", "*.engine_rpm", "power.battery.charge"),
    "a term of a sum: it stands in the working of the sum":
        ("power.standing.drains.{index}.current_a", "power.cranking.pieces.{index}.*",
         "power.alternator.points.{index}.*"),
    "nothing there: the part does not exist":
        ("*.fuse", "*.drop", "*.load_v", "*.segments", "power.alternator", "power.alternator.points", "power.battery",
         "power.battery.reserve_conversions", "power.standing", "power.standing.drains", "power.cranking",
         "power.cranking.pieces", "power.cranking.consumers", "power.alternator_cable",
         "power.alternator_cable.exciter", "power.reserve.in_condition"),
    "a finding: its figure and limit are explained at their own addresses, its texts are the check's": ("findings*",),
    "a check that could not be made": ("unjudged*",),
    "an assumption: it stands with its source, and in the working of what rests on it": ("assumptions*",),
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
    for name in ("id", "place", "rule"):
        if isinstance(item, dict) and name in item:
            return f"{{{name}}}", {name: str(item[name])}
    return "{index}", {"index": str(number)}
