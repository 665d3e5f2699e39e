"""The power part of the result document, short for every assessment and whole for the power report."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from fuseplan.checks.finite import finite
from fuseplan.checks.views import known
from fuseplan.engine.battery import ACCEPTANCE_BASIS, RESERVE_SOURCE, RESERVE_WANTED_S
from fuseplan.engine.loads_table import COLUMNS
from fuseplan.engine.power_report import Power
from fuseplan.engine.speed_curve import SpeedCurve
from fuseplan.engine.trip import TripResult
from fuseplan.tables import alternators

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def power_part(assessment: Assessment) -> dict[str, Any]:
    """What every result document carries: balance, alternator, battery, standing, cranking, its cable, reserve."""
    results = assessment.results
    source, power = results.source, results.power
    return {
        "alternator_rated_a": known(source.rated_a), "regulator_v": known(source.regulator_v),
        "open_circuit_v": known(source.open_circuit_v[0]) if len(source.open_circuit_v) else None,
        "continuous_share_limit": assessment.limit_set.alternator.continuous_share,
        "peak_share_limit": assessment.limit_set.alternator.peak_share,
        "in_condition": {name: _condition(power, index)
                         for index, name in enumerate(results.network.condition_ids)},
        "alternator": _alternator(power), "battery": _battery(power), "standing": _standing(power),
        "cranking": _cranking(power), "alternator_cable": _alternator_cable(power), "reserve": _reserve(power),
    }


def power_report(assessment: Assessment, trips: Sequence[str] = (), condition: int | None = None) -> dict[str, Any]:
    """What ``fuseplan power --json`` prints: the short part, and what is only worked out for it.

    Parameters
    ----------
    trips : sequence of str
        Names of the trips to drive.
    condition : int, optional
        The condition explained line by line; the worst running one where left out.
    """
    power = assessment.results.power
    ids = assessment.results.network.condition_ids
    chosen = power.worst if condition is None else condition
    found: dict[str, Any] = finite({
        "plan": assessment.plan.vehicle.name, "limits": assessment.limit_set.name,
        **power_part(assessment),
        "worst_condition": ids[power.worst] if power.worst >= 0 else None,
        "explained_condition": ids[chosen] if chosen >= 0 else None,
        "explained": [
            {"owner_kind": each.owner[0], "owner": each.owner[1], "what": each.what, "use": each.use, "duty": each.duty,
             "volts": each.volts, "on_a": each.on_a, "average_a": each.average_a, "evidence": each.evidence}
            for each in (power.details(chosen) if chosen >= 0 else ())],
        "loads": _loads(power, ids), "curve": _curve(power.curve(chosen), ids),
        "cures": [
            {"id": cure.id, "words": cure.words, "typed": [change.typed() for change in cure.changes],
             "changes": [{"path": ".".join(map(str, change.path)), "value": change.plain} for change in cure.changes],
             "before_a": cure.before_a, "after_a": cure.after_a, "peak_before_a": cure.peak_before_a,
             "peak_after_a": cure.peak_after_a, "closes": cure.closes, "caution": cure.caution}
            for cure in power.cures(chosen)],
        "shedding": [{"circuit": step.circuit, "what": step.what, "lamp": step.lamp, "average_a": step.average_a,
                      "balance_a": step.balance_a} for step in power.shedding(chosen)],
        "trips": {name: _trip(power.trip(name), ids) for name in trips},
        "trips_known": list(power.trips),
    })
    return found


def _minutes(seconds: float) -> float | None:
    return known(seconds / 60.0)


def _condition(power: Power, index: int) -> dict[str, Any]:
    balance, source, alternator = power.results.balance, power.results.source, power.alternator
    told = power.results.balance_known(index)
    return {
        "rotor_rpm": known(source.rotor_rpm[index]),
        "available_a": known(balance.available_a[0, index]) if told else None,
        "continuous_a": known(balance.continuous_a[0, index]), "demand_a": known(balance.demand_a[0, index]),
        "peak_a": known(balance.peak_a[0, index]),
        "balance_a": known(balance.balance_a[0, index]) if told else None,
        "balance_upper_a": known(balance.balance_a[1, index]) if told else None,
        "bus_v": known(balance.bus_v[0, index]),
        "discharge_if_low_a": known(power.results.discharge_if_low_a[0, index]) if told else None,
        "alternator_a": known(balance.average.alternator_a[index]) if told else None,
        "continuous_share": known(alternator.share_of_rated[0, index]),
        "peak_share": known(alternator.peak_share[0, index]), "shaft_w": known(alternator.shaft_w[index]),
        "flat_min": _minutes(power.flat_s(index)) if told else None,
        "no_start_min": _minutes(power.no_start_s(index)) if told else None,
    }


def _alternator(power: Power) -> dict[str, Any] | None:
    facts = power.alternator
    if power.results.plan.alternator is None:
        return None
    return {
        "basis": facts.machine.basis, "measured": facts.machine.measured,
        "points": [{"rotor_rpm": rpm, "output_a": current} for rpm, current in
                   zip(facts.machine.speeds.tolist(), facts.machine.currents.tolist(), strict=True)]
        if facts.machine.known else [],
        "hot_source": alternators.hot_source().line(), "pulley_ratio": facts.pulley_ratio,
        "pulley_given": facts.pulley_given, "highest_rotor_rpm": facts.highest_rotor_rpm,
        "highest_is_own": facts.highest_is_own, "highest_source": facts.highest_source,
        "highest_engine_rpm": facts.highest_engine_rpm, "efficiency": facts.efficiency,
        "efficiency_source": alternators.efficiency().source.line(), "fuel_share": facts.fuel_share,
    }


def _battery(power: Power) -> dict[str, Any] | None:
    if power.results.plan.battery is None:
        return None
    facts = power.battery
    return {
        "capacity_ah": known(facts.capacity_ah), "capacity_basis": facts.capacity_basis,
        "reserve_conversions": [{"rule": name, "capacity_ah": each.value, "source": each.source.line()}
                                for name, each in facts.reserve_conversions_ah.items()],
        "charge": facts.charge, "open_circuit_v": facts.open_circuit_v, "warm_ohm": facts.warm_ohm,
        "cold_ohm": facts.cold_ohm, "resistance_basis": facts.resistance_basis, "peukert": facts.peukert,
        "peukert_basis": facts.peukert_basis, "usable_ah": known(facts.usable_ah),
        "no_start_share": facts.no_start_share.value, "no_start_source": facts.no_start_share.source.line(),
        "freezing_c": None if facts.freezing_c is None else facts.freezing_c.value,
        "acceptance_basis": ACCEPTANCE_BASIS,
    }


def _standing(power: Power) -> dict[str, Any] | None:
    standing = power.standing
    if standing.condition < 0:
        return None
    return {
        "condition": power.results.network.condition_ids[standing.condition], "drain_a": standing.drain_a,
        "drain_upper_a": standing.drain_upper_a,
        "drains": [{"owner_kind": each.owner[0], "owner": each.owner[1], "what": each.what,
                    "current_a": each.current_a} for each in standing.drains],
        "self_discharge_a": known(standing.self_discharge_a),
        "self_discharge_source": standing.self_discharge_source.line(), "usable_ah": known(standing.usable_ah),
        "days": known(standing.days), "days_with_self_discharge": known(standing.days_with_self_discharge),
        "days_upper": known(standing.days_upper), "wanted_days": standing.wanted_days,
    }


def _cranking(power: Power) -> dict[str, Any] | None:
    cranking, dip = power.cranking, power.dip
    if cranking.condition < 0:
        return None
    return {
        "condition": power.results.network.condition_ids[cranking.condition],
        "starter": None if cranking.starter is None else cranking.starter[0], "basis": cranking.basis,
        "current_a": known(cranking.current_a[0]), "battery_v": known(cranking.battery_v[0]),
        "battery_upper_v": known(cranking.battery_v[1]), "battery_limit_v": cranking.battery_limit.value,
        "battery_limit_source": cranking.battery_limit.source.line(), "starter_v": known(cranking.starter_v[0]),
        "starter_w": known(cranking.starter_w[0]), "supply_drop_v": known(cranking.supply_drop_v[0]),
        "return_drop_v": known(cranking.return_drop_v[0]),
        "dip_battery_v": None if dip is None else dip.battery_v,
        "dip_current_a": None if dip is None else dip.current_a,
        "pieces": [{"side": piece.side, "owner_kind": piece.owner[0], "owner": piece.owner[1],
                    "drop_v": float(piece.drop_v[0]), "resistance_ohm": piece.resistance_ohm,
                    "engine_strap": piece.engine_strap} for piece in cranking.pieces],
        "consumers": [{"owner_kind": each.owner[0], "owner": each.owner[1], "what": each.what, "kind": each.kind,
                       "volts": float(each.volts[0]), "dip_v": None if dip is None else dip.survivor_v[number],
                       "limit_v": None if each.limit is None else each.limit.value,
                       "limit_source": None if each.limit is None else each.limit.source.line(),
                       "must_run": each.must_run} for number, each in enumerate(cranking.survivors)],
    }


def _alternator_cable(power: Power) -> dict[str, Any] | None:
    lead = power.alternator_cable
    if lead is None:
        return None
    exciter = lead.exciter
    return {
        "supply_ohm": known(lead.supply_ohm), "return_ohm": known(lead.return_ohm),
        "supply_drop_v": known(lead.supply_drop_v), "return_drop_v": known(lead.return_drop_v),
        "limit_ohm": lead.limit_ohm.value, "limit_ohm_source": lead.limit_ohm.source.line(),
        "limit_v": None if lead.limit_v is None else lead.limit_v.value,
        "return_limit_v": lead.return_limit_v.value, "guarded": lead.guarded, "guarded_by": lead.guarded_by,
        "exciter": None if exciter is None else {
            "circuit": exciter.circuit, "current_a": known(exciter.current_a), "wanted_a": exciter.wanted.value,
            "source": exciter.wanted.source.line()},
    }


def _reserve(power: Power) -> dict[str, Any]:
    ids = power.results.network.condition_ids
    return {
        "source": RESERVE_SOURCE, "wanted_min": RESERVE_WANTED_S / 60.0,
        "in_condition": {ids[each.condition]: {
            "normal_a": each.normal_a, "essential_a": each.essential_a, "usable_ah": each.usable_ah,
            "total_min": _minutes(each.total_s)} for each in power.reserves},
    }


def _loads(power: Power, ids: Sequence[str]) -> dict[str, Any]:
    table = power.loads
    return {
        "lines": [{"kind": line.kind, "id": line.id, "essential": line.essential, "exclusive": list(line.groups),
                   "in_condition": {name: {column: float(line.current_a[place, index])
                                           for place, column in enumerate(COLUMNS)}
                                    for index, name in enumerate(ids)}} for line in table.lines],
        **{key: [{"kind": total.kind, "id": total.id, "limit_a": known(total.limit_a), "limit": total.limit_words,
                  "in_condition": {name: {"peak_a": float(total.peak_a[index]),
                                          "average_a": float(total.average_a[index])}
                                   for index, name in enumerate(ids)}} for total in totals]
           for key, totals in (("feeds", table.feeds), ("relays", table.relays))},
    }


def _curve(curve: SpeedCurve | None, ids: Sequence[str]) -> dict[str, Any] | None:
    if curve is None:
        return None
    return {
        "condition": ids[curve.condition], "break_even_rpm": known(curve.break_even_rpm),
        "held_rpm": known(curve.held_rpm),
        "points": [{"engine_rpm": engine, "output_a": output, "demand_a": demand, "bus_v": bus, "discharge_a": out}
                   for engine, output, demand, bus, out in zip(
                       curve.engine_rpm.tolist(), curve.output_a.tolist(), curve.demand_a.tolist(),
                       curve.bus_v.tolist(), curve.discharge_a.tolist(), strict=True)],
    }


def _trip(trip: TripResult | None, ids: Sequence[str]) -> dict[str, Any] | None:
    if trip is None:
        return None
    return {
        "name": trip.name, "starts": trip.starts, "verdict": trip.verdict, "crank_v": known(trip.crank_v),
        "put_in_ah": trip.put_in_ah, "taken_out_ah": trip.taken_out_ah, "lost_ah": trip.lost_ah,
        "flat_at_s": known(trip.flat_at_s),
        "legs": [{"condition": ids[leg.condition], "duration_s": leg.duration_s, "start_charge": leg.start_charge,
                  "end_charge": leg.end_charge, "put_in_ah": leg.put_in_ah, "taken_out_ah": leg.taken_out_ah}
                 for leg in trip.legs],
        "points": [{"time_s": time, "charge": charge, "bus_v": bus, "alternator_a": alternator, "battery_a": battery}
                   for time, charge, bus, alternator, battery in zip(
                       trip.time_s.tolist(), trip.charge.tolist(), trip.bus_v.tolist(), trip.alternator_a.tolist(),
                       trip.battery_a.tolist(), strict=True)],
    }
