"""The parts of the power report that are sentences: alternator, battery, reserve, standing, cranking, charge lead."""

from __future__ import annotations

import math

from fuseplan.checks.assessment import Assessment
from fuseplan.engine.battery import ACCEPTANCE_BASIS, RESERVE_SOURCE, RESERVE_WANTED_S
from fuseplan.engine.cranking import side_limit
from fuseplan.papers.findings import source_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import paragraph
from fuseplan.papers.power_columns import lasting, owner_words
from fuseplan.quantities import writing
from fuseplan.tables import alternators, batteries

INDENT = "  "


def _lines(room: int, *sentences: str) -> list[str]:
    return [line for sentence in sentences if sentence
            for line in paragraph(source_words(sentence), room, INDENT, INDENT * 2)]


def alternator_lines(assessment: Assessment, room: int) -> list[str]:
    """What the label promises, what heat and pulley make of it, and the rotor's highest speed."""
    results = assessment.results
    facts, source = results.power.alternator, results.source
    if results.plan.alternator is None:
        return _lines(room, "none in the plan")
    if not source.alternator_known:
        return _lines(room, f"not known: {facts.machine.basis}")
    own = "its own limit" if facts.highest_is_own else facts.highest_source
    given = "" if facts.pulley_given else " (not given: an old V-belt drive, on the low side)"
    worst = results.power.worst
    shaft = "" if worst < 0 else (
        f"It takes {writing.quantity(float(facts.shaft_w[worst]), 'W', 0, 'up')} from the belt in the worst condition "
        f"at an efficiency of {writing.percent(facts.efficiency)} ({alternators.efficiency().source.line()}); "
        f"{facts.fuel_share:.0%} of the fuel's energy becomes electricity.")
    return _lines(
        room, f"Rated {writing.rating(source.rated_a)}; set point {writing.volts(source.setpoint_v)} at its "
        f"regulator's temperature. Output by {facts.machine.basis}.",
        "" if facts.machine.measured else f"Hot output: {alternators.hot_source().line()}.",
        f"Pulley ratio {facts.pulley_ratio:g}{given}. The rotor reaches {writing.rpm(facts.highest_rotor_rpm)} ({own}) "
        f"at {writing.rpm(math.floor(facts.highest_engine_rpm))} of the engine.", shaft)


def battery_lines(assessment: Assessment, room: int) -> list[str]:
    """Capacity, resistance, Peukert, freezing, charging model."""
    if assessment.plan.battery is None:
        return _lines(room, "none in the plan")
    facts = assessment.results.power.battery
    frost = "" if facts.freezing_c is None else \
        f" Its acid freezes at {writing.quantity(facts.freezing_c.value, '°C', 0, 'up')}" \
        f" ({facts.freezing_c.source.line()})."
    return _lines(
        room, f"Capacity {writing.quantity(facts.capacity_ah, 'Ah', 0, 'down')}: {facts.capacity_basis}.",
        f"{facts.charge:.0%} charged at the start, {writing.volts(facts.open_circuit_v)} at rest "
        f"({batteries.ocv_source().line()}).{frost}",
        f"Internal resistance {writing.ohms(facts.warm_ohm)}, {writing.ohms(facts.cold_ohm)} while cranking: "
        f"{facts.resistance_basis}.",
        f"Peukert exponent {facts.peukert:g} in the 20-hour form: {facts.peukert_basis}.",
        f"{writing.quantity(facts.usable_ah, 'Ah', 1, 'down')} may go before it no longer starts: "
        f"{facts.no_start_share.value:.0%} of the capacity ({facts.no_start_share.source.line()}).",
        f"Charging: {ACCEPTANCE_BASIS}.")


def reserve_lines(assessment: Assessment, room: int) -> list[str]:
    """How long the essential loads run in each running condition."""
    power = assessment.results.power
    if assessment.plan.battery is None:
        return []
    if not power.reserves:
        why = "no load is marked `essential = true`" if not power.has_essentials else "the capacity is not given"
        return _lines(room, f"not known: {why}")
    said = []
    for each in power.reserves:
        condition = assessment.results.network.conditions[each.condition]
        name = condition.name or assessment.results.network.condition_ids[each.condition]
        said.append(f"{shown(name)}: {lasting(each.total_s)}, {writing.amps(each.normal_a)} for "
                    f"{each.recognise_s / 60:.0f} minutes, then {writing.amps(each.essential_a)} of essentials, from "
                    f"{writing.quantity(each.usable_ah, 'Ah', 1, 'down')}")
    return _lines(room, *said, f"{RESERVE_SOURCE}. Below {RESERVE_WANTED_S / 60:.0f} minutes is a finding.")


def standing_lines(assessment: Assessment, room: int) -> list[str]:
    """Drain, what draws it, days."""
    standing = assessment.results.power.standing
    if standing.condition < 0:
        return _lines(room, "the plan has no parked condition")
    drains = ", ".join(f"{owner_words(each.owner)} {each.what} {writing.amps(each.current_a)}"
                       for each in standing.drains[:8])
    more = f" and {len(standing.drains) - 8} more" if len(standing.drains) > 8 else ""
    if not standing.drains:
        drains = "nothing in the plan draws current"
    return _lines(
        room, f"Drain {writing.amps(standing.drain_a)}: {drains}{more}.",
        f"Days until it no longer starts: {_days(standing.days)}; with the battery's own loss "
        f"{_days(standing.days_with_self_discharge)}; at the upper bound of the evidence {_days(standing.days_upper)}. "
        f"The plan stands for {writing.quantity(standing.wanted_days, 'days', 0)}.",
        f"Own loss: {standing.self_discharge_source.line()}.")


def _days(days: float) -> str:
    return "never" if math.isinf(days) else writing.number(days, 1, "down")


def cranking_lines(assessment: Assessment, room: int) -> list[str]:
    """Voltages and drops while cranking."""
    results = assessment.results
    cranking, dip = results.power.cranking, results.power.dip
    if not cranking.known:
        return _lines(room, f"not known: {cranking.basis}")
    battery = (f"Battery {writing.volts(float(cranking.battery_v[0]), 'down')} at "
               f"{writing.amps(float(cranking.current_a[0]))}, "
               f"{writing.volts(float(cranking.battery_v[1]), 'down')} at the upper bound; least "
               f"{writing.volts(cranking.battery_limit.value)} ({cranking.battery_limit.source.line()}).")
    said = [battery, f"{cranking.basis}."]
    if cranking.starter is not None:
        supply, back = (side_limit(side, results.network.system_v) for side in ("supply", "return"))
        said.append(
            f"Starter {writing.volts(float(cranking.starter_v[0]), 'down')}, "
            f"{writing.quantity(float(cranking.starter_w[0]), 'W', 0)}. Lost on the way out "
            f"{writing.drop(float(cranking.supply_drop_v[0]), supply.value)}, on the way back "
            f"{writing.drop(float(cranking.return_drop_v[0]), back.value)} ({supply.source.line()}).")
        said += [f"{'out' if piece.side == 'supply' else 'back'}: {owner_words(piece.owner)}"
                 f"{', engine strap' if piece.engine_strap else ''}, {writing.ohms(piece.resistance_ohm)}, "
                 f"{writing.volts(float(piece.drop_v[0]), 'up')}" for piece in cranking.pieces]
    if dip is not None:
        said.append(f"First instant, {writing.amps(dip.current_a)}: battery {writing.volts(dip.battery_v, 'down')}.")
    for number, each in enumerate(cranking.survivors):
        if each.limit is None and not each.must_run:
            continue
        limit = "" if each.limit is None else \
            f"; a {each.kind} needs {writing.volts(each.limit.value)} ({each.limit.source.line()})"
        first = "" if dip is None else f", {writing.volts(dip.survivor_v[number], 'down')} at the first instant"
        said.append(f"{owner_words(each.owner)}, {shown(each.what)}: {writing.volts(float(each.volts[0]), 'down')}"
                    f"{first}{limit}")
    return _lines(room, *said)


def charge_lead_lines(assessment: Assessment, room: int) -> list[str]:
    """Drop and resistance against the published limits, and the exciter."""
    lead = assessment.results.power.charge_lead
    if lead is None:
        return []
    said = []
    if math.isnan(lead.supply_ohm):
        said.append("Lead: size or length not given")
    else:
        handbook = "" if lead.limit_v is None else \
            f", against {writing.volts(lead.limit_v.value)} ({lead.limit_v.source.line()})"
        said.append(f"Lead {writing.ohms(lead.supply_ohm)}, against {writing.ohms(lead.limit_ohm.value)} "
                    f"({lead.limit_ohm.source.line()}); {writing.volts(lead.supply_drop_v, 'up')} at rated output"
                    f"{handbook}.")
    said.append(f"Way back {writing.ohms(lead.return_ohm)}, {writing.volts(lead.return_drop_v, 'up')} at rated output, "
                f"against {writing.volts(lead.return_limit_v.value)} ({lead.return_limit_v.source.line()}).")
    said.append(f"Guarded against a short by {shown(lead.guarded_by)}." if lead.guarded else
                "Nothing opens when this lead is shorted to earth.")
    exciter = lead.exciter
    if exciter is None:
        said.append("Exciter: no circuit is named; a machine that needs a lamp to start its field has none here.")
    else:
        said.append(f"Exciter, {owner_words(('circuit', exciter.circuit))}: {writing.amps(exciter.current_a, 'down')}, "
                    f"at least {writing.amps(exciter.wanted.value)} ({exciter.wanted.source.line()}).")
    return _lines(room, *said)
