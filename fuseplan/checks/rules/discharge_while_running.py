"""The loads draw more than the alternator delivers with the engine running: the battery discharges.

At idle an alternator delivers half its rating or less, hot even less. Or so much is lost between alternator and battery
that the post has less than a battery at rest. The battery supplies the rest, until it is flat.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.alternator_output import larger_alternator, output_unknown, regulator_too_low
from fuseplan.checks.limit import LimitRows, over_limit, rows_of
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.rules import charging_voltage_drop
from fuseplan.checks.subjects import condition_words, running_conditions
from fuseplan.engine.alternator import highest_rotor_rpm, machine_of
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.condition import ConditionResult

FIELDS = ("alternator.rated", "alternator.low_speed", "alternator.pulley_ratio")


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    balance = results.balance
    if not results.source.alternator_known:
        yield from output_unknown(rule, results)
        return
    fitted = results.plan.alternator
    dynamo = fitted is not None and fitted.machine == "dynamo"
    machine, pulley = machine_of(fitted), "a smaller pulley"
    if math.isnan(highest_rotor_rpm(fitted)[0]):
        pulley += ", once its highest speed is entered as `max_speed`"
    fails = on_average(results).judged(results).fails
    idle = float(results.source.rotor_rpm[running_conditions(results)].min(initial=math.inf))
    only_idle = dynamo and _charges_at_speed(results) and not any(
        balance.available_a[bound, index] > 0 for index, bound in fails)
    for index, bound in fails:
        demand, gives = float(balance.demand_a[bound, index]), float(balance.available_a[bound, index])
        rotor = float(results.source.rotor_rpm[index])
        short, where = writing.burden(demand - gives, "A"), condition_words(results, index)
        more = machine.gives_more_above(rotor)
        fit = " or ".join(filter(None, [pulley if more else None, larger_alternator(results)]))
        ways = [f"switch off {short} in {where}" if not only_idle else "do not let it idle long like that",
                "raise the idle speed" if more and rotor == idle else None, f"fit {fit}" if fit else None]
        delivers = f"{'dynamo' if dynamo else 'hot alternator'} delivers {writing.limit(gives, 'A')}"
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"in {where} the loads draw {writing.burden(demand, 'A')} on average, the "
            f"{delivers if gives > 0 or not dynamo else 'dynamo does not charge yet'} at a rotor speed of "
            f"{writing.limit(rotor, 'r/min')}; the battery discharges at {short}{_lasting(results, index, bound)}",
            figure=demand, limit=gives, unit="A", bound=bound,
            consequence="good_practice" if only_idle else None,
            fix=f"{', or '.join(filter(None, ways))}; `fuseplan power` works out each",
            fields=FIELDS)
    yield from _held_back(rule, results, {index for index, _ in fails})
    yield from _not_recovered(rule, results)


def _held_back(rule: Rule, results: Results, told: set[int]) -> Iterator[Finding]:
    """Conditions in which the alternator could carry the loads, but too little of its output gets to them; those told
    already left out."""
    balance, source = results.balance, results.source
    for index, bound, out_a, _ in from_battery(results).judged(results).failing:
        if index in told:
            continue
        demand, gets, could = (float(each) for each in (
            balance.demand_a[bound, index], balance.available_a[bound, index], source.available_a[index]))
        why, fix, fields = _why_held_back(results, index, float(balance.bus_v[bound, index]))
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"in {condition_words(results, index)} the loads draw {writing.burden(demand, 'A')} on average, and "
            f"{writing.limit(gets, 'A')} of the alternator's {writing.limit(could, 'A')} get to them: {why}; the "
            f"battery discharges at {writing.burden(out_a, 'A')}{_lasting(results, index, bound)}",
            figure=out_a, limit=0.0, unit="A", bound=bound, fix=fix, fields=fields)


def _why_held_back(results: Results, index: int, post_v: float) -> tuple[str, str, tuple[str, ...]]:
    """Why the alternator does not carry the loads although it could, what to do about it, and the keys of that."""
    regulator_v = results.source.regulator_v
    if regulator_too_low(results, index):
        low = "below that of a battery at rest" if regulator_v <= results.source.open_circuit_v[index] else \
            "hardly above that of a battery at rest: with what a good cable may lose, the post has less"
        return (f"its regulator voltage of {writing.stated(regulator_v, 'V')} is {low}",
                "fit a regulator of the car's voltage; if only the figure is wrong, correct it",
                ("alternator.regulator_voltage",))
    why = ("with its terminal at the regulator voltage so much is lost on the way to the battery that the post has "
           f"{writing.limit(post_v, 'V')}, less than a battery at rest")
    drops = [each for each in charging_voltage_drop.find(charging_voltage_drop.RULE, results)
             if isinstance(each, Finding)]
    if not drops:
        return (why, "a thicker or shorter cable from alternator to battery and a thicker engine strap, clean joints",
                ("alternator.cable.0.size", "alternator.cable.0.length"))
    worst = max(drops, key=lambda each: each.figure or 0.0)
    return why, worst.fix, worst.fields


def _charges_at_speed(results: Results) -> bool:
    """Whether the machine gives a current in any condition with the engine running: a dynamo that charges the battery
    on the road and not at idle is one that works."""
    return bool((results.balance.available_a[:, running_conditions(results)] > 0).all(axis=0).any())


def on_average(results: Results) -> LimitRows:
    """The average demand of each condition with the engine running, against what the alternator delivers then."""
    parts = running_conditions(results)
    return rows_of(lambda: [("condition", results.network.condition_ids[number]) for number in parts.tolist()], parts,
                   results.source.available_a[parts], lambda figures: figures.average_a[:, parts])


def from_battery(results: Results) -> LimitRows:
    """What the battery gives in each of these conditions although the alternator could give more, against nothing."""
    parts = running_conditions(results)
    return rows_of(lambda: [("condition", results.network.condition_ids[number]) for number in parts.tolist()], parts,
                   0.0, lambda figures: figures.held_back_a[:, parts])


def _not_recovered(rule: Rule, results: Results) -> Iterator[Finding]:
    """Conditions in which the alternator can hold its regulator voltage, but does not get back to it once the voltage
    has been low."""
    for index, bound, battery, _ in over_limit(results.discharge_if_low_a, 0.0).failing:
        spare = float(results.balance.balance_a[bound, index])
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"in {condition_words(results, index)} the alternator has {writing.limit(spare, 'A')} to spare at its "
            "regulator voltage. After starting, with the voltage low, the electronic loads draw more than it delivers "
            f"and the battery goes on discharging at {writing.burden(battery, 'A')}",
            figure=battery, limit=0.0, unit="A", consequence="good_practice", bound=bound,
            fix="leave more to spare at this speed: less load, or a higher idle speed, or a larger alternator; until "
                   "then switch loads on only after starting",
            fields=FIELDS)


def _lasting(results: Results, index: int, bound: int) -> str:
    """How long the battery keeps it up, where its capacity is known."""
    power = results.power
    flat, no_start = power.flat_s(index, bound), power.no_start_s(index, bound)
    if results.plan.battery is None or not math.isfinite(flat) or not math.isfinite(no_start):
        return ""
    return f": the car no longer starts after {writing.lasting(no_start)}, the battery is flat after " \
           f"{writing.lasting(flat)}"


RULE = Rule(
    consequence="stops_the_car",
    title="Battery discharges with the engine running",
    source="the alternator must carry all loads but horn, lift and starter, and keep the battery charged: "
           "Maryland COMAR 11.19.03.07; hot output at low speed: alternator output curve on file",
    caution="A battery that discharges at every stop goes flat with the lamps on; then the engine stops.",
    fix="less load at idle, or more output there",
    example="fails: 70 A at idle from a 90 A alternator; passes: 15 A",
    find=find,
    limits=(on_average, from_battery),
    figures=((ConditionResult.demand_a, ConditionResult.available_a), (ConditionResult.battery_a, None)),
)
