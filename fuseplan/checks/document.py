"""The result document that ``fuseplan check --json`` prints: stable keys, SI units in their names."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from fuseplan import __version__
from fuseplan.checks.finite import finite
from fuseplan.checks.power_document import power_part
from fuseplan.checks.supply_views import EarthView, FeedView
from fuseplan.checks.views import CircuitView, FaultView, FuseView, SegmentView, known

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def document(assessment: Assessment) -> dict[str, Any]:
    """The whole assessment as plain dictionaries, lists, strings and numbers; None for what is not known."""
    network = assessment.results.network
    ids = network.condition_ids
    found: dict[str, Any] = finite({
        "fuseplan": __version__,
        "plan": assessment.plan.vehicle.name,
        "limits": assessment.limit_set.name,
        "conditions": [
            {"id": view.id, "name": view.name, "state": view.condition.state,
             "engine_rpm": float(view.condition.engine),
             "bus_v": known(view.bus_v), "average_bus_v": known(view.average_bus_v),
             "demand_a": known(view.demand_a), "peak_a": known(view.peak_a),
             "available_a": view.told(view.available_a), "balance_a": view.told(view.balance_a),
             "battery_a": view.told(view.battery_a)}
            for view in assessment.conditions
        ],
        "circuits": [_circuit(view, ids) for view in assessment.circuits],
        "feeds": [
            {"id": view.id, "name": view.feed.name if view.feed else None,
             "from": view.feed.upstream if view.feed else None, "resistance_ohm": known(view.resistance_ohm),
             "in_condition": {condition: _feed_condition(view, index) for index, condition in enumerate(ids)},
             "fuse": _fuse(view.fuse), "segments": [_segment(each) for each in view.segments],
             "fault": _fault(view.fault)}
            for view in assessment.feeds
        ],
        "earths": [
            {"id": view.id, "name": view.earth.name if view.earth else None,
             "to": view.earth.upstream if view.earth else None, "resistance_ohm": known(view.resistance_ohm),
             "in_condition": {condition: _earth_condition(view, index) for index, condition in enumerate(ids)},
             "segments": [_segment(each) for each in view.segments]}
            for view in assessment.earths
        ],
        "power": power_part(assessment),
        "assumptions": [each._asdict() | {"errs": each.errs.value} for each in assessment.assumptions],
        "unjudged": [asdict(each) for each in assessment.unjudged],
        "findings": [asdict(finding) | {"fields": list(finding.fields)} for finding in assessment.findings],
    })
    return found


def _feed_condition(view: FeedView, index: int) -> dict[str, Any]:
    volts, current, live = view.in_condition(index)
    return {"volts": known(volts), "current_a": known(current), "live": live}


def _earth_condition(view: EarthView, index: int) -> dict[str, Any]:
    volts, current = view.in_condition(index)
    return {"volts": known(volts), "current_a": known(current)}


def _circuit(view: CircuitView, ids: tuple[str, ...]) -> dict[str, Any]:
    figures = view.current_known and view.circuit.out_of_scope is None
    needed, why = view.relay_need if figures else (None, None)
    drop = view.drop
    in_condition = {}
    for index, condition in enumerate(ids):
        current, volts, live = view.in_condition(index)
        in_condition[condition] = {"current_a": known(current) if figures else None,
                                   "load_v": [known(volt) for volt in volts], "live": live}
    return {
        "id": view.id,
        "name": view.name,
        "role": view.circuit.role, "feed": view.circuit.feed,
        "verdict": view.verdict,
        "missing": list(view.missing),
        "unknown": list(view.unknown),
        "design_a": {key: known(view.demand_a(interval)) if figures else None
                     for interval, key in enumerate(("5s", "5min", "continuous"))},
        "in_condition": in_condition,
        "drop": None if drop is None else {
            "volts": drop.volts, "supply_v": drop.supply_v, "return_v": drop.return_v, "limit_v": drop.limit_v,
            "class": drop.drop_class, "condition": drop.condition, "load": drop.load},
        "fuse": _fuse(view.fuse),
        "segments": [_segment(each) for each in view.segments],
        "relay": {"needed": needed, "why": why},
        "fault": _fault(view.fault if figures and not view.missing else None),
    }


def _fault(view: FaultView | None) -> dict[str, Any]:
    if view is None:
        return {"prospective_a": None, "far_end_a": None, "opens_within_s": None, "wire_survives": None,
                "may_never_open": None, "limits_on_file": None, "order": None, "order_from_a": None}
    return {"prospective_a": view.prospective_a, "far_end_a": view.far_end_a,
            "opens_within_s": None if view.opens_within_s is None else known(view.opens_within_s),
            "wire_survives": view.wire_survives,
            "may_never_open": None if view.opens_within_s is None else math.isinf(view.opens_within_s),
            "limits_on_file": view.limits_on_file, "order": view.order, "order_from_a": view.order_from_a}


def _fuse(view: FuseView | None) -> dict[str, Any] | None:
    if view is None:
        return None
    return {"kind": view.kind, "rating_a": view.rating_a, "entered": view.entered, "proposed": view.proposed_a,
            "colour": view.colour, "window_a": [view.low_a, view.high_a], "share": view.share,
            "ambient_c": view.ambient_c, "position": view.position}


def _segment(view: SegmentView) -> dict[str, Any]:
    return {"side": view.side, "place": view.place, "size_mm2": view.size_mm2, "length_m": view.length_m,
            "resistance_ohm": view.resistance_ohm, "ampacity_a": view.ampacity_a, "current_a": view.current_a,
            "temperature_c": view.temperature_c,
            "table_temperature_c": view.table_temperature_c, "table_alone_a": view.table_alone_a,
            "balance_ampacity_a": view.balance_ampacity_a,
            "fault_a": view.fault_a, "fault_temperature_c": view.fault_temperature_c, "survives": view.survives,
            "binding": view.binding, "insulation": view.insulation,
            "ambient_c": view.ambient_c, "conductors": view.conductors}
