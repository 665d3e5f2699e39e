"""The parts of the power report that are sentences: alternator and its cable, battery, reserve, standing, cranking."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.subjects import condition_words
from fuseplan.engine.battery import ACCEPTANCE_BASIS, RESERVE_SOURCE, RESERVE_WANTED_S
from fuseplan.engine.cranking_limits import side_limit
from fuseplan.papers.car_facts import unswitched_words
from fuseplan.papers.findings import source_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import paragraph
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
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
    highest = f"Highest rotor speed {own}." if math.isnan(facts.highest_rotor_rpm) else (
        f"The rotor reaches {writing.limit(facts.highest_rotor_rpm, 'r/min')} ({own}) at "
        f"{writing.limit(facts.highest_engine_rpm, 'r/min')} of the engine.")
    given = "" if facts.pulley_given else " (not given: an old V-belt drive, on the low side)"
    hardest = int(np.argmax(facts.shaft_w)) if facts.shaft_w.size else -1
    shaft = "" if hardest < 0 else (
        f"It takes {writing.burden(facts.shaft_w[hardest], 'W')} from the belt in "
        f"{condition_words(results, hardest)}, the most of all conditions, at an efficiency "
        f"of {writing.stated(facts.efficiency, 'share')} ({alternators.efficiency().source.line()}); "
        f"{writing.limit(facts.fuel_share, 'share')} of the fuel's energy becomes electricity.")
    return _lines(
        room, f"Rated {writing.rating(source.rated_a)}; regulator voltage {writing.limit(source.regulator_v, 'V')} at "
        f"the regulator's temperature. Output by {facts.machine.basis}.",
        "" if facts.machine.measured else f"Hot output: {alternators.hot_source().line()}.",
        f"Pulley ratio {writing.stated(facts.pulley_ratio)}{given}. {highest}", shaft)


def battery_lines(assessment: Assessment, room: int) -> list[str]:
    """Capacity, resistance, Peukert, freezing, charging model."""
    if assessment.plan.battery is None:
        return _lines(room, "none in the plan")
    facts = assessment.results.power.battery
    frost = "" if facts.freezing_c is None else \
        f" Its acid freezes at {writing.burden(facts.freezing_c.value, '°C')}" \
        f" ({facts.freezing_c.source.line()})."
    return _lines(
        room, f"Capacity {writing.limit(facts.capacity_ah, 'Ah')}: {facts.capacity_basis}.",
        f"{writing.limit(facts.charge, 'share')} charged at the start, {writing.limit(facts.open_circuit_v, 'V')} at "
        f"rest ({batteries.ocv_source().line()}).{frost}",
        f"Internal resistance {writing.burden(facts.warm_ohm, 'ohm')}, {writing.burden(facts.cold_ohm, 'ohm')} while "
        f"cranking: {facts.resistance_basis}.",
        f"Peukert exponent {writing.stated(facts.peukert)} in the 20-hour form: {facts.peukert_basis}.",
        f"{writing.limit(facts.usable_ah, 'Ah')} may go before it no longer starts: "
        f"{writing.stated(facts.no_start_share.value, 'share')} of the capacity "
        f"({facts.no_start_share.source.line()}).",
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
        said.append(f"{shown(name)}: {writing.lasting(each.total_s)}, {writing.burden(each.normal_a, 'A')} for "
                    f"{writing.bare(each.recognise_s / 60, 'min', 'limit')} minutes, then "
                    f"{writing.burden(each.essential_a, 'A')} of essentials, from "
                    f"{writing.limit(each.usable_ah, 'Ah')}")
    return _lines(room, *said, f"{RESERVE_SOURCE}. Below {writing.stated(RESERVE_WANTED_S / 60)} minutes is a finding.")


def standing_lines(assessment: Assessment, room: int) -> list[str]:
    """Drain, what draws it, days."""
    standing = assessment.results.power.standing
    if standing.condition < 0:
        return _lines(room, "the plan has no parked condition")
    drains = first_few(standing.drains, 8, lambda each: f"{_owner(assessment, each.owner)}: {shown(each.what)} "
                                                        f"{writing.burden(each.current_a, 'A')}")
    if not standing.drains:
        drains = "nothing in the plan draws current"
    unswitched = unswitched_words(assessment)
    return _lines(
        room, f"Drain {writing.burden(standing.drain_a, 'A')}: {drains}.",
        unswitched and f"This may not be all: {unswitched}.",
        f"Time until it no longer starts: {_days(standing.days)}; with self-discharge "
        f"{_days(standing.days_with_self_discharge)}; at the worst-case current {_days(standing.days_upper)}. "
        f"The plan asks for {writing.stated(standing.wanted_days, 'days')}.",
        f"Self-discharge: {standing.self_discharge_source.line()}.")


def _days(days: float) -> str:
    return "never" if math.isinf(days) else writing.limit(days, "days")


def cranking_lines(assessment: Assessment, room: int) -> list[str]:
    """Voltages and drops while cranking."""
    results = assessment.results
    cranking, dip = results.power.cranking, results.power.dip
    if not cranking.known:
        return _lines(room, f"not known: {cranking.basis}")
    battery = (f"Battery {writing.limit(cranking.battery_v[0], 'V')} at {writing.burden(cranking.current_a[0], 'A')}, "
               f"{writing.limit(cranking.battery_v[1], 'V')} at the worst-case current, both at "
               f"{writing.stated(cranking.battery_c, '°C')} with an internal resistance of "
               f"{writing.burden(results.power.battery.cold_ohm, 'ohm')}; lowest allowed at that temperature "
               f"{writing.burden(cranking.battery_limit.value, 'V')} ({cranking.battery_limit.source.line()}).")
    said = [battery, f"{cranking.basis}."]
    if cranking.starter is not None:
        supply, back = (side_limit(side, results.network.system_v) for side in ("supply", "return"))
        speed = float(cranking.speed_share[0])
        turns = "" if math.isnan(speed) else " It stands still." if speed <= 0 else \
            f" It turns at {writing.limit(speed, 'share')} of its speed at the voltage its current is stated at."
        said.append(
            f"Starter {writing.limit(cranking.starter_v[0], 'V')}, {writing.limit(cranking.starter_w[0], 'W')}.{turns} "
            "Its current is what the engine's drag asks, whatever the voltage; a cold engine asks more than a warm "
            "one, and how much more is not on file: enter the current measured cold. "
            f"Voltage drop supply side {writing.drop(cranking.supply_drop_v[0], supply.value)}, earth side "
            f"{writing.drop(cranking.return_drop_v[0], back.value)} ({supply.source.line()}).")
        known = {"supply": results.known.supply, "return": results.known.returns}
        said += [f"{'out' if piece.side == 'supply' else 'back'}: {_owner(assessment, piece.owner)}"
                 f"{', engine strap' if piece.engine_strap else ''}, {writing.burden(piece.resistance_ohm, 'ohm')}, "
                 f"{writing.burden(piece.drop_v[0], 'V')}"
                 f"{'' if known[piece.side][piece.node] else ': not known, counted as nothing'}"
                 for piece in cranking.pieces]
    if dip is not None:
        said.append(f"First instant, {writing.burden(dip.current_a, 'A')}: battery "
                    f"{writing.limit(dip.battery_v, 'V')}.")
    for number, each in enumerate(cranking.survivors):
        if each.limit is None and not each.must_run:
            continue
        limit = "" if each.limit is None else \
            f"; a {each.kind} needs {writing.burden(each.limit.value, 'V')} ({each.limit.source.line()})"
        first = "" if dip is None else f", {writing.limit(dip.survivor_v[number], 'V')} at the first instant"
        said.append(f"{_owner(assessment, each.owner)}, {shown(each.what)}: "
                    f"{writing.limit(each.volts[0], 'V')}{first}{limit}")
    return _lines(room, *said)


def _owner(assessment: Assessment, owner: tuple[str, str]) -> str:
    """A circuit, feed or earth point by its name in quotes, as in a sentence."""
    return shown(in_words(assessment.plan, *owner))


def alternator_cable_lines(assessment: Assessment, room: int) -> list[str]:
    """Drop and resistance against the published limits, and the exciter."""
    lead = assessment.results.power.alternator_cable
    if lead is None:
        return []
    said = []
    if math.isnan(lead.supply_ohm):
        said.append("Cable: size or length not given")
    else:
        handbook = "" if lead.limit_v is None else \
            f", against {writing.limit(lead.limit_v.value, 'V')} ({lead.limit_v.source.line()})"
        said.append(f"Cable {writing.burden(lead.supply_ohm, 'ohm')}, against "
                    f"{writing.limit(lead.limit_ohm.value, 'ohm')} ({lead.limit_ohm.source.line()}); "
                    f"{writing.burden(lead.supply_drop_v, 'V')} at rated output{handbook}.")
    if lead.made_up_v > 0:
        said.append(f"Sense lead: makes up for {writing.limit(lead.made_up_v, 'V')} of the cable at rated output. Off "
                    "or broken, that is missing at the battery. It is live all the time: fuse it where it starts.")
    said.append(f"Earth side {writing.burden(lead.return_ohm, 'ohm')}, {writing.burden(lead.return_drop_v, 'V')} at "
                f"rated output, against {writing.limit(lead.return_limit_v.value, 'V')} "
                f"({lead.return_limit_v.source.line()}).")
    said.append(f"Protected against a short by {shown(lead.guarded_by)}." if lead.guarded else
                "No fuse blows when this cable is shorted to earth.")
    exciter = lead.exciter
    if exciter is None:
        said.append("Exciter: no circuit is named; an alternator that needs a charge lamp for excitation has none "
                    "here.")
    else:
        said.append(f"Exciter, {_owner(assessment, ('circuit', exciter.circuit))}: "
                    f"{writing.limit(exciter.current_a, 'A')}, at least "
                    f"{writing.burden(exciter.wanted.value, 'A')} ({exciter.wanted.source.line()}).")
    return _lines(room, *said)
