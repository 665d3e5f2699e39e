"""A filament lamp gets less than its share of design voltage with the engine running.

Light falls with the 3.4th power of the voltage: at 85 % little more than half is left. The voltage at the bulb is
checked with the engine running, as in the published rule. A lamp that has enough where the alternator holds its voltage
is dim for the alternator, not for its wires, unless these lose more than they may in any case, or a feed's wire before
its switch does: only what is lacking even then is made up by wires. An alternator whose output is not given is taken as
holding its regulator voltage: a lamp that is dim even then fails, one that needs the alternator for it is not known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.checks.alternator_output import larger_alternator
from fuseplan.checks.drop_fixes import drop_fixes, is_a_mend
from fuseplan.checks.drop_ways import Lack
from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.limit import NO_ROWS, LimitRows, rows_of
from fuseplan.checks.other_voltage import SPAN
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.rules.voltage_drop import earth_side, supply_side
from fuseplan.checks.subjects import (
    circuit_path,
    circuit_subject,
    drop_known,
    load_of,
    load_path,
    load_words,
    worst_by_circuit,
)
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.drops import Drops
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.engine.solve import BOUNDS, Solved
from fuseplan.engine.states import STATE_INDEX
from fuseplan.formulas.load import lamp_light
from fuseplan.quantities import writing
from fuseplan.results.circuit import CircuitInCondition
from fuseplan.tables.distinct import distinct
from fuseplan.trace import bare

WITHOUT = "and so the voltage at its lamps with the engine running"


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    consumers, share, at_bounds = results.network.consumers, results.limit_set.drop.lamp_share, results.at_bounds
    rows = at_lamps(results)
    lamps, limit = rows.parts, np.full(consumers.count, np.nan)
    if share is None or not lamps.size:
        return
    limit[lamps] = rows.limit

    def held(figures: CaseFigures) -> tuple[Floats, dict[int, tuple[int, int]]]:
        """Voltage at all consumers (2, L), and the worst lamp of each circuit that fails."""
        found, at_lamps = np.full((BOUNDS, consumers.count), np.nan), rows.figure(figures)
        found[:, lamps] = at_lamps
        return found, worst_by_circuit(results, rows.outcome(at_lamps).fails, limit - found)

    volts, failing = held(at_bounds)
    if results.regulated is not None:
        for number in held(replace(at_bounds, running=results.solution))[1].keys() - failing.keys():
            yield rule.unjudged(circuit_subject(results, number), f"output of the alternator, {WITHOUT}")
    if not results.known.alternator_cable:
        on = distinct(consumers.circuit[~np.isnan(volts).all(axis=0)])
        for number in on[~np.isin(on, list(failing))].tolist():
            yield rule.unjudged(circuit_subject(results, number),
                                f"resistance of the alternator's cable or strap, {WITHOUT}")
    fixes = _fixes(results, limit, volts, list(failing.values()))
    for (number, (index, bound)), fix in zip(failing.items(), fixes, strict=True):
        at_bulb, least = float(volts[bound, index]), float(limit[index])
        design_v = float(design_voltages(results, np.array([index]))[0])
        light = float(lamp_light(max(at_bulb, 0.0), design_v))
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{writing.limit(at_bulb, 'V')} at {load_words(results, index)} with the engine running; it needs "
            f"{writing.burden(least, 'V')}, {writing.stated(share, 'share')} of its {writing.stated(design_v, 'V')}. "
            f"Light output: {writing.limit(light, 'share')}", figure=at_bulb, figure_side="limit", limit=least,
            unit="V", bound=bound, fix=fix, fields=(
                *fix.fields, circuit_path(results, number, "relay.contact"),
                load_path(results, index, "design_voltage")))


def _fixes(results: Results, limit: Floats, volts: Floats, failing: list[tuple[int, int]]) -> list[Fix]:
    """What brings each of some lamps, each at one end of the evidence, to its limit (L,) [V]; `volts` is what they have
    (2, L)."""
    if not (failing and results.fixes_wanted):
        return [NO_FIX] * len(failing)
    whole, held, lacks = results.drops.whole, held_volts(results), []
    in_any_case = []
    for index, bound in failing:
        lost, short = float(results.drops.total_v[bound, index]), float(limit[index] - held[bound, index])
        choice, row = whole.at(bound, index, len(results.network.conditions))
        if 0 < short < lost:
            lacks.append(Lack(index, bound, choice, row, lost, lost - short, 0, returns=True))
        elif 0 < (short := float(limit[index] - volts[bound, index])) < lost:
            in_any_case.append(Lack(index, bound, choice, row, lost, lost - short, 0, returns=True))
    found = {(lack.consumer, lack.bound): fix for lack, fix in zip(lacks, drop_fixes(results, lacks), strict=True)}
    # A bad joint, or a wire in which more is lost than may be, is a fault whatever the alternator does: mended, it may
    # leave the lamp bright enough.
    share_lost = _share_lost(results) if in_any_case else None
    found |= {(lack.consumer, lack.bound): fix for lack, fix in zip(
        in_any_case, drop_fixes(results, in_any_case), strict=True) if is_a_mend(fix) or (
            fix.values and share_lost is not None and (
                exceeds(share_lost[lack.bound, lack.consumer], 1.0) or _is_overloaded(results, fix)
                or _loses_more_than_any_lead_may(results, lack, fix)))}
    mends = {(lack.consumer, lack.bound) for lack in in_any_case}
    fixes = []
    for index, bound in failing:
        fix = found.get((index, bound))
        if fix is None:
            fix = _not_the_wires(results, index)
        elif (index, bound) not in mends and exceeds(held[bound, index], volts[bound, index] + LIFTED_V):
            more = _not_the_wires(results, index)
            # The wires alone do not remove it: there is nothing to enter that does.
            fix = fix._replace(words=f"{fix.words}; and {more.words}", fields=(*fix.fields, *more.fields), values=())
        fixes.append(fix)
    return fixes


def _is_overloaded(results: Results, fix: Fix) -> bool:
    """Whether the first wire a fix names carries more than it may: thicker in any case, it may leave the lamp bright
    enough."""
    first = fix.sizes[0][0]
    return bool(exceeds(results.demands.lasting[0, first], results.segment_limit_a[first]))


def _share_lost(results: Results) -> Floats:
    """What each consumer loses on the way out or back, whichever is the more, as a share of its limit (2, L)."""
    return np.fmax(*(rows.figure(results.at_bounds) for rows in (supply_side(results), earth_side(results))))


def _loses_more_than_any_lead_may(results: Results, lack: Lack, fix: Fix) -> bool:
    """Whether the wires that a fix replaces alone lose what is too much for any lead but a lamp's: before its switch
    nothing else limits them."""
    most = results.limit_set.drop_limit("control", results.network.system_v, "continuous")
    solution, row = lack.solved(results)
    named = [index for index, _ in fix.sizes]
    lost_v = np.abs(solution.segment_a[row, named]) * solution.segment_ohm[row, named]
    return most is not None and bool(exceeds(float(lost_v.sum()), most.value))


LIFTED_V = 0.01
"""What a lamp gains by less than this with another alternator is not the alternator's doing."""


def held_volts(results: Results) -> Floats:
    """Lowest voltage at each lamp with the engine running, were the alternator strong enough to hold its voltage
    (2, L) [V]; NaN where it is no lamp, or is never on then."""
    lamps, found = judged_lamps(results), np.full((BOUNDS, results.network.consumers.count), np.nan)
    solution = results.strong if results.known.alternator_cable and results.source.running.any() else results.running
    found[:, lamps] = running_volts(results.network, solution, results.drops, lamps)
    return found


def is_of_the_wires(finding: Finding) -> bool:
    """Whether a finding of this check is mended at the wires of a lamp: not at its own figures nor at the
    alternator."""
    return not finding.fields[0].startswith("alternator") and not finding.fields[0].endswith((".at", ".design_voltage"))


def _not_the_wires(results: Results, lamp: int) -> Fix:
    """What is to be done about a lamp that its wires do not make dim, by what keeps the battery's posts below what
    it needs: its own design voltage, the regulator, or an alternator that does not hold the voltage."""
    load, system_v, share = load_of(results, lamp), results.network.system_v, results.limit_set.drop.lamp_share or 1.0
    design_v, regulator_v = float(load.design_voltage or load.at or system_v), results.source.regulator_v
    stated = load_path(results, lamp, "at" if load.design_voltage is None else "design_voltage")
    if design_v > SPAN[1] * system_v:
        return Fix(f"fit a lamp made for {writing.stated(system_v, 'V')}; if only the figure is wrong, correct it",
                   (stated,))
    if results.plan.alternator is None:
        return Fix("an alternator, or fewer loads on with the engine running: the battery alone does not hold that "
                   "voltage", ("alternator",))
    if exceeds(share * design_v, regulator_v):
        return Fix(f"a regulator set higher than {writing.stated(regulator_v, 'V')}; if only the figure is wrong, "
                   "correct it", ("alternator.regulator_voltage", stated))
    larger = larger_alternator(results) or "a larger alternator, a thicker cable from it"
    return Fix(f"raise the voltage at the battery: {larger}, or fewer loads on with the engine running",
               ("alternator.rated",))


def at_lamps(results: Results) -> LimitRows:
    """Lowest voltage at each lamp with the engine running, against its share of the lamp's design voltage."""
    share, lamps = results.limit_set.drop.lamp_share, judged_lamps(results)
    if share is None or not lamps.size:
        return NO_ROWS
    circuits = results.network.consumers.circuit[lamps].tolist()
    return rows_of(lambda: [circuit_subject(results, number) for number in circuits], lamps,
                   share * design_voltages(results, lamps),
                   lambda figures: running_volts(results.network, figures.running, figures.drops, lamps), "limit")


def judged_lamps(results: Results) -> NDArray[np.int64]:
    """The lamps whose voltage is known."""
    consumers = results.network.consumers
    lamps = consumers.lamps[consumers.kind[consumers.lamps] == LOAD]
    return np.asarray(lamps[drop_known(results)[consumers.circuit[lamps]]])


def design_voltages(results: Results, lamps: NDArray[np.int64]) -> Floats:
    """Voltage each lamp is made for (lamps,) [V]."""
    consumers = results.network.consumers
    # A lamp's figure is stated at what the plan says, else at the system's voltage.
    found = np.array(bare(consumers.reference_v)[lamps])
    noted = of_circuits(results.network, _design_voltages, "design_voltage")
    for place in np.flatnonzero(np.isin(consumers.circuit[lamps], list(noted))).tolist() if noted else ():
        lamp = lamps[place]
        found[place] = noted[int(consumers.circuit[lamp])].get(int(consumers.number[lamp]), found[place])
    return found


def _design_voltages(network: Network, number: int) -> dict[int, float] | None:
    """Design voltages of a circuit's loads, by number, as far as they are stated [V]; None where none is."""
    return {index: float(load.design_voltage) for index, load in enumerate(network.circuits[number].load)
            if load.design_voltage} or None


def running_volts(network: Network, solution: Solved, drops: Drops, lamps: NDArray[np.int64]) -> Floats:
    """Lowest voltage across each lamp in any condition with the engine running in which it is on (cases, lamps); NaN
    where it never is. A lamp that gives way to a stronger one of its `either` group in every condition is taken at the
    lowest running voltage of the battery post less its own worst drop."""
    consumers, cases = network.consumers, solution.cases
    running = (network.state == STATE_INDEX["running"])[:, None]
    across, root = cases.parted(solution.across(lamps)), cases.parted(solution.root_v)[..., None]
    lowest = np.where(consumers.on[:, lamps] & running, across, np.inf).min(axis=1, initial=np.inf)
    other = np.where(consumers.possible[:, lamps] & running, root, np.inf).min(axis=1, initial=np.inf) \
        - drops.total_v[:, lamps]
    lowest = np.where(np.isinf(lowest), other, lowest)
    return np.where(np.isfinite(lowest), lowest, np.nan)


RULE = Rule(
    consequence="fails_in_use",
    title="Low lamp voltage",
    source="at least 85 % of the bulb's design voltage at the socket, lamps lit and engine running: California 13 CCR "
           "1249(c)",
    caution="You see and are seen less with dim lamps; do not fit stronger bulbs to make up for a thin wire: the "
            "voltage drop gets worse.",
    fix="a relay near the lamp, a thicker wire, a better earth",
    example="fails: 110 W at the end of 12 m of 0.5 mm²; passes: 55 W on 3 m of 2.5 mm²",
    find=find,
    limits=(at_lamps,),
    figures=((CircuitInCondition.load_v, None),),
    resistance=True,
    ambient=True,
)
