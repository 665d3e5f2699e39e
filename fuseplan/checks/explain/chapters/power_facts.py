"""Further figures of the power report: shares, time to flat, alternator and battery facts, standing, reserve."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.checks.explain import balance_work, battery_work, storage_work
from fuseplan.checks.explain.chapters.power import NO_OUTPUT
from fuseplan.checks.explain.figures import Answer, Figure
from fuseplan.checks.explain.steps import given
from fuseplan.engine.battery import RESERVE_SOURCE, RESERVE_WANTED_S
from fuseplan.engine.results import Results
from fuseplan.formulas.alternator import engine_speed, shaft_power
from fuseplan.formulas.power import chain_efficiency, continuous_share
from fuseplan.formulas.working import apply
from fuseplan.tables import alternators
from fuseplan.tables.load import table

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

PER_MINUTE = 60.0


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every condition, of alternator and battery, of the standing car and of the reserve."""
    results = assessment.results
    rule = assessment.limit_set.alternator
    yield Figure("power.peak_limit", "largest share of the output for all that is on together", "-", rule.peak_share,
                 partial(given, "s", "largest share of the output", rule.peak_share, "-", rule.peak_source))
    for view in assessment.conditions:
        yield from _condition(results, view.index, f"power.{view.id}", f"in '{view.name}'")
    if results.plan.alternator is not None:
        yield from _alternator(results)
    if results.plan.battery is not None:
        yield from _battery(results)
    if results.power.standing.condition >= 0:
        yield from _standing(results)
    yield from _reserve(results)


def _condition(results: Results, row: int, at: str, words: str) -> Iterator[Figure]:
    count, power, average = len(results.network.conditions), results.power, results.balance.average
    facts, told = power.alternator, results.balance_known(row)
    yield Figure(f"{at}.balance_upper", f"output less average demand {words}, at the upper bound of the evidence", "A",
                 float(results.balance.balance_a[1, row]) if told else None,
                 partial(balance_work.output_less_demand, results, count + row), why_unknown=NO_OUTPUT)
    yield Figure(f"{at}.average_bus", f"voltage of the battery post on average demand {words}", "V",
                 float(results.balance.bus_v[0, row]), partial(battery_work.bus, results, average, row), solved=True)
    yield Figure(f"{at}.alternator", f"what the alternator gives on average {words}", "A",
                 float(average.alternator_a[row]) if told else None, partial(_delivered, results, row), solved=True,
                 why_unknown=NO_OUTPUT)
    yield Figure(f"{at}.discharge_if_low", f"battery discharge {words} once the voltage has been low", "A",
                 float(results.discharge_if_low_a[0, row]) if told else None,
                 partial(balance_work.discharge_if_low, results, row), solved=True, why_unknown=NO_OUTPUT)
    yield Figure(f"{at}.continuous_share", f"lasting loads over rated output {words}", "-",
                 float(facts.share_of_rated[0, row]), partial(_share, results, row, balance_work.continuous),
                 why_unknown=NO_OUTPUT)
    yield Figure(f"{at}.peak_share", f"all that is on together over rated output {words}", "-",
                 float(facts.peak_share[0, row]), partial(_share, results, row, balance_work.peak),
                 why_unknown=NO_OUTPUT)
    yield Figure(f"{at}.shaft", f"power the alternator takes from the belt {words}", "W", float(facts.shaft_w[row]),
                 partial(_shaft, results, row), solved=True)
    no_deficit = "the battery gives nothing, or its capacity is not given" if told else NO_OUTPUT
    yield Figure(f"{at}.flat", f"time to a flat battery {words}", "min",
                 power.flat_s(row) / PER_MINUTE if told else None,
                 partial(storage_work.flat_minutes, results, row), why_unknown=no_deficit)
    yield Figure(f"{at}.no_start", f"time until the car no longer starts {words}", "min",
                 power.no_start_s(row) / PER_MINUTE if told else None,
                 partial(storage_work.no_start_minutes, results, row), why_unknown=no_deficit)


def _delivered(results: Results, row: int) -> float:
    output, gives = float(results.source.available_a[row]), float(results.balance.average.alternator_a[row])
    if output > 0 and gives < output * (1.0 - 1e-9):
        asked = balance_work.demand(results, row)
        return given("I", "the machine can give more: it gives what is asked of it", asked, "A",
                     "how the solver treats the machine")
    limit = battery_work.available(results, row)
    return given("I", "all it can", limit, "A", "how the solver treats the machine")


def _share(results: Results, row: int, what: partial[float] | object) -> float:
    assert callable(what)
    current = float(what(results, row))
    return float(apply(continuous_share, continuous_a=current, rated_a=battery_work.rated(results)))


def _shaft(results: Results, row: int) -> float:
    voltage, current = battery_work.regulator_voltage(results), _delivered(results, row)
    return float(apply(shaft_power, voltage=voltage, current=current, efficiency=_efficiency()))


def _efficiency() -> float:
    found = alternators.efficiency()
    return given("η", "efficiency of the alternator", found.value, "-", found.source.line())


def _alternator(results: Results) -> Iterator[Figure]:
    facts = results.power.alternator
    cite = "the plan, alternator.pulley_ratio" if facts.pulley_given else "common practice, no source"
    yield Figure("power.alternator.pulley_ratio", "rotor turns per engine turn", "-", facts.pulley_ratio,
                 partial(given, "i", "pulley ratio", facts.pulley_ratio, "-", cite))
    yield Figure("power.alternator.highest_rotor", "highest permitted rotor speed", "rpm", facts.highest_rotor_rpm,
                 partial(_highest, results))
    yield Figure("power.alternator.highest_engine", "engine speed at which the rotor gets there", "rpm",
                 facts.highest_engine_rpm, partial(_highest_engine, results, cite))
    yield Figure("power.alternator.efficiency", "efficiency of the alternator", "-", facts.efficiency, _efficiency)
    yield Figure("power.alternator.fuel_share", "share of the fuel's energy that becomes electricity", "-",
                 facts.fuel_share, _fuel_share)


def _highest(results: Results) -> float:
    facts = results.power.alternator
    return given("n", f"highest rotor speed: {facts.highest_source}", facts.highest_rotor_rpm, "rpm",
                 "the plan, alternator.max_speed" if facts.highest_is_own else facts.highest_source)


def _highest_engine(results: Results, cite: str) -> float:
    rotor = _highest(results)
    ratio = given("i", "pulley ratio", results.power.alternator.pulley_ratio, "-", cite)
    return float(apply(engine_speed, rotor=rotor, ratio=ratio))


def _fuel_share() -> float:
    parts = {}
    for part in ("engine", "belt"):
        found = table("alternator_efficiency").cited("part", part, "efficiency")
        assert found is not None
        parts[part] = given("η", f"efficiency of the {part}", found.value, "-", found.source.line())
    return float(apply(chain_efficiency, engine=parts["engine"], belt=parts["belt"], alternator=_efficiency()))


def _battery(results: Results) -> Iterator[Figure]:
    facts = results.power.battery
    at, silent = "power.battery", "neither capacity nor reserve capacity is given"
    yield Figure(f"{at}.capacity", "20-hour capacity", "A·h", facts.capacity_ah,
                 partial(storage_work.capacity, results), why_unknown=silent)
    yield Figure(f"{at}.usable", "charge that may go before the car no longer starts", "A·h", facts.usable_ah,
                 partial(storage_work.usable, results), why_unknown=silent)
    yield Figure(f"{at}.warm_resistance", "internal resistance", "ohm", facts.warm_ohm,
                 partial(battery_work.internal, results, False))
    yield Figure(f"{at}.cold_resistance", "internal resistance while cranking", "ohm", facts.cold_ohm,
                 partial(battery_work.internal, results, True))
    yield Figure(f"{at}.peukert", "Peukert exponent", "-", facts.peukert, partial(storage_work.peukert, results))
    yield Figure(f"{at}.no_start_share", "share that may go before the car no longer starts", "-",
                 facts.no_start_share.value, partial(storage_work.no_start_share, results))
    yield Figure(f"{at}.freezing", "temperature at which the acid freezes", "°C",
                 None if facts.freezing_c is None else facts.freezing_c.value, partial(storage_work.freezing, results),
                 why_unknown="no row is printed for so low a charge")
    for rule, found in facts.reserve_conversions_ah.items():
        yield Figure(f"{at}.conversion.{rule}", "capacity from the reserve capacity, one published rule", "A·h",
                     found.value, partial(storage_work.conversion, results, rule))


def _standing(results: Results) -> Iterator[Figure]:
    standing, count = results.power.standing, len(results.network.conditions)
    at, row = "power.standing", standing.condition
    yield Figure(f"{at}.drain", "what the standing car draws", "A", standing.drain_a,
                 partial(balance_work.demand, results, row))
    yield Figure(f"{at}.drain_upper", "what the standing car draws, at the upper bound of the evidence", "A",
                 standing.drain_upper_a, partial(balance_work.demand, results, count + row))
    silent = "nothing draws, or the battery's capacity is not given"
    yield Figure(f"{at}.self_discharge", "the battery's own self-discharge as a current", "A",
                 standing.self_discharge_a, partial(storage_work.self_discharge, results), why_unknown=silent)
    whole = (("days", standing.days, 0, False, "self-discharge left out"),
             ("days_with_self_discharge", standing.days_with_self_discharge, 0, True, "self-discharge counted"),
             ("days_upper", standing.days_upper, 1, True, "at the upper bound of the evidence, self-discharge counted"))
    for key, value, corner, own, words in whole:
        yield Figure(f"{at}.{key}", f"days until the car no longer starts, {words}", "day", value,
                     partial(storage_work.days, results, corner, own), why_unknown=silent)
    yield Figure(f"{at}.wanted_days", "days the car is to stand", "day", standing.wanted_days,
                 partial(storage_work.wanted_days, results))


def _reserve(results: Results) -> Iterator[Figure]:
    yield Figure("power.reserve.wanted", "reserve wanted after an alternator "
                                         "failure", "min", RESERVE_WANTED_S / PER_MINUTE,
                 partial(given, "t", "reserve wanted", RESERVE_WANTED_S / PER_MINUTE, "min", RESERVE_SOURCE))
    for found in results.power.reserves:
        at = f"power.reserve.{results.network.condition_ids[found.condition]}"
        work: tuple[tuple[str, str, float, str, partial[float]], ...] = (
            ("normal", "all that is on, on the battery alone", found.normal_a, "A",
             partial(storage_work.reserve_current, results, found, False)),
            ("essential", "what is needed to drive on, on the battery alone", found.essential_a, "A",
             partial(storage_work.reserve_current, results, found, True)),
            ("usable", "charge counted on", found.usable_ah, "A·h", partial(storage_work.reserve_usable, results)),
            ("total", "time the essentials run", found.total_s / PER_MINUTE, "min",
             partial(storage_work.reserve_minutes, results, found)))
        for key, words, value, unit, how in work:
            answer: Answer | None = value if math.isfinite(value) else None
            yield Figure(f"{at}.{key}", words, unit, answer, how, why_unknown="nothing essential draws")


