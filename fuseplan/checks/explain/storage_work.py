"""How the battery's capacity, the days a car may stand, and the reserve after an alternator failure came about."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fuseplan.checks.explain import balance_work
from fuseplan.checks.explain.steps import entered, given, larger, solved_cite, total
from fuseplan.engine.battery import RATED_H, RECOGNISE_S, RESERVE_SOURCE, SECONDS_PER_HOUR, Reserve
from fuseplan.engine.consumers import ALTERNATOR
from fuseplan.engine.loads_table import essential_consumers, running
from fuseplan.engine.results import Results
from fuseplan.engine.scenario import rows, weighed
from fuseplan.engine.solve import solve
from fuseplan.engine.standing import HOURS_PER_MONTH
from fuseplan.formulas.battery import charge_spent, endurance, peukert_time
from fuseplan.formulas.standing import drain_days, usable_before_no_start
from fuseplan.formulas.working import apply
from fuseplan.quantities import writing
from fuseplan.results.naming import consumer_words
from fuseplan.tables import batteries

PER_MINUTE = 60.0


def capacity(results: Results) -> float:
    """20-hour capacity in force."""
    facts = results.power.battery
    return given("C", facts.capacity_basis, facts.capacity_ah, "A·h", "the plan, battery")


def charge(results: Results) -> float:
    """State of charge at the start."""
    return entered("z", "state of charge at the start", results.power.battery.charge, "-", "battery.state_of_charge")


def peukert(results: Results) -> float:
    """Peukert exponent."""
    facts = results.power.battery
    return given("n", "Peukert exponent", facts.peukert, "-", facts.peukert_basis)


def no_start_share(results: Results) -> float:
    """Share of the capacity whose loss means that the engine may not start."""
    found = results.power.battery.no_start_share
    return given("s", "share of the capacity that may go before the car no longer starts", found.value, "-",
                 found.source.line())


def freezing(results: Results) -> float:
    """Temperature at which the acid freezes."""
    found = results.power.battery.freezing_c
    assert found is not None
    charge(results)
    return given("T", "the acid freezes at that charge, next printed row down", found.value, "°C", found.source.line())


def usable(results: Results) -> float:
    """Charge that may go before the car no longer starts."""
    full, held = capacity(results), charge(results)
    may_go = float(apply(usable_before_no_start, capacity_ah=full, share=no_start_share(results)))
    gone = given("Q", "already missing at the start", (1.0 - held) * full, "A·h", "definition of the state of charge")
    return larger("Q", "what is left of that, never below nothing", [0.0, may_go - gone], "A·h")


def conversion(results: Results, rule: str) -> float:
    """Capacity by one published conversion of the reserve minutes."""
    battery = results.plan.battery
    assert battery is not None
    assert battery.reserve_capacity is not None
    entered("t", "reserve capacity", float(battery.reserve_capacity) / PER_MINUTE, "min", "battery.reserve_capacity")
    found = results.power.battery.reserve_conversions_ah[rule]
    return given("C", f"by the rule {rule.replace('_', ' ')}", found.value, "A·h", found.source.line())


def self_discharge(results: Results) -> float:
    """Current that would drain the battery as fast as its own self-discharge."""
    standing = results.power.standing
    battery = results.plan.battery
    monthly = batteries.self_discharge_per_month(
        {"liquid": "antimony starter", "agm": "calcium AGM"}["liquid" if battery is None else battery.kind], 20)
    share = given("s", "self-discharge a month at 20 °C", monthly.value, "-", monthly.source.line())
    full = capacity(results)
    return given("I", f"{writing.worked(share)} × {writing.worked(full)} A·h over {writing.stated(HOURS_PER_MONTH)} h "
                      f"a month", standing.self_discharge_a, "A",
                 "definition")


def days(results: Results, corner: int, with_self_discharge: bool) -> float:
    """Days until the car no longer starts."""
    row = corner * len(results.network.conditions) + results.power.standing.condition
    left, drain = usable(results), balance_work.demand(results, row)
    if with_self_discharge:
        drain = total("I", "drain", [("all that draws", drain), ("self-discharge", self_discharge(results))], "A")
    return float(apply(drain_days, usable_ah=left, current_a=drain))


def wanted_days(results: Results) -> float:
    """How long the car is to stand."""
    standing, network = results.power.standing, results.network
    name, seconds = network.condition_ids[standing.condition], float(network.duration_s[standing.condition])
    return given("t", f"'{name}' lasts {writing.stated(seconds, 's')}, over 86400 s a day", standing.wanted_days, "day",
                 f"the plan, condition.{name}.duration, or built in")


def flat_minutes(results: Results, row: int) -> float:
    """Minutes to flat at a condition's average deficit."""
    deficit = _deficit(results, row)
    full, n = capacity(results), peukert(results)
    rated = given("H", "hours the capacity is stated at", RATED_H, "h", "definition of the 20-hour capacity")
    if deficit <= full / RATED_H:
        n = given("n", "at or below the 20-hour current the law gives nothing away", 1.0, "-", "common practice, no "
                                                                                               "source")
    hours = float(apply(peukert_time, capacity_ah=full, rated_h=rated, current=deficit, n=n))
    held = charge(results)
    return given("t", f"{writing.worked(hours)} h × {writing.worked(held)} of the charge, in minutes",
                 hours * held * SECONDS_PER_HOUR / PER_MINUTE, "min", "definition of the state of charge")


def no_start_minutes(results: Results, row: int) -> float:
    """Minutes until the car no longer starts at a condition's average deficit."""
    deficit, left = _deficit(results, row), usable(results)
    full, n = capacity(results), peukert(results)
    ratio = larger("i", f"deficit over the 20-hour current {writing.worked(full / RATED_H)} A, never below 1",
                   [1.0, deficit / (full / RATED_H)], "-")
    factor = given("k", f"{writing.worked(ratio)} to the power {writing.worked(n)} − 1: charge taken for each ampere "
                        f"hour drawn",
                   ratio ** (n - 1.0), "-", "Peukert's law, 20-hour form")
    taken = given("I", f"{writing.worked(deficit)} A × {writing.worked(factor)}", deficit * factor, "A", "Peukert's "
                                                                                                         "law, 20-hour "
                                                                                                         "form")
    return given("t", f"{writing.worked(left)} A·h over {writing.worked(taken)} A, in "
                      "minutes", left / taken * SECONDS_PER_HOUR / PER_MINUTE, "min",
                 "definition of charge")


def _deficit(results: Results, row: int) -> float:
    return given("I", "what the battery gives", -balance_work.battery_current(results, row), "A",
                 "the balance, its sign turned")


def reserve_current(results: Results, found: Reserve, essential: bool) -> float:
    """What the car draws from the battery alone, all of it or the essentials: the currents of that solution, summed."""
    network, chosen = results.network, running(results.network)
    few, source = rows(weighed(network), results.source, [*chosen, *chosen])
    on, count = few.consumers.on.copy(), len(chosen)
    on[count:] &= essential_consumers(few)
    dead = replace(source, available_a=np.zeros(2 * count))
    solution = solve(few, dead, results.fuse_ohm, on)
    row = chosen.index(found.condition) + (count if essential else 0)
    parts = [(consumer_words(network, each), float(solution.consumer_a[row, each]))
             for each in range(network.consumers.count)
             if int(network.consumers.kind[each]) != ALTERNATOR and solution.consumer_a[row, each] != 0.0]
    return total("I", "solved currents with the alternator dead, each weighed with its share of the time", parts, "A",
                 solved_cite(solution))


def reserve_usable(results: Results) -> float:
    """Charge counted on after an alternator failure."""
    share = batteries.usable_share()
    part = given("s", "share of the capacity counted on", share.value, "-", share.source.line())
    full, held = capacity(results), charge(results)
    return given("Q", f"{writing.worked(part)} × {writing.worked(full)} A·h × "
                      f"{writing.worked(held)}", share.value * (full * held), "A·h", RESERVE_SOURCE)


def reserve_minutes(results: Results, found: Reserve) -> float:
    """Minutes the essentials run after the alternator has failed, what is needed to notice it included."""
    left = reserve_usable(results)
    if left <= 0:
        return given("t", "nothing is left to run on", 0.0, "min", RESERVE_SOURCE)
    normal = reserve_current(results, found, False)
    hours = given("t", f"{writing.stated(RECOGNISE_S, 's')} to notice and switch off what is not "
                       "essential", RECOGNISE_S / SECONDS_PER_HOUR, "h",
                  RESERVE_SOURCE)
    spent = float(apply(charge_spent, current_a=normal, time_h=hours))
    if spent >= left:
        return given("t", f"spent before it is noticed: {writing.worked(left)} A·h over {writing.worked(normal)} A, in "
                          "minutes",
                     left / normal * SECONDS_PER_HOUR / PER_MINUTE, "min", RESERVE_SOURCE)
    full, held, share = capacity(results), charge(results), batteries.usable_share()
    at_start = given("C", f"{writing.worked(full)} A·h × {writing.worked(held)}", full * held, "A·h", "definition of "
                                                                                                      "the state of "
                                                                                                      "charge")
    part = given("s", "share of the capacity counted on", share.value, "-", share.source.line())
    essential = reserve_current(results, found, True)
    after = float(apply(endurance, capacity_ah=at_start, spent_ah=spent, current_a=essential, usable_share=part))
    return given("t", f"{writing.stated(RECOGNISE_S, 's')} and {writing.worked(after)} h, in minutes",
                 (RECOGNISE_S + after * SECONDS_PER_HOUR) / PER_MINUTE, "min", RESERVE_SOURCE)
