"""Wires against what they carry, for minutes and for a few seconds; for circuits, feeds and earths alike."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import (
    ampacity_of,
    another_insulation,
    copper_mm2,
    insulation_asked,
    insulation_first,
    largest_fuse_a,
    past_the_tables_fix,
    size_that_carries,
    sizes_for,
    wire_fields,
)
from fuseplan.checks.limit import Limit, LimitRows, rows_of
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import Subject, charging_words, segment_path, segment_subject, segment_words
from fuseplan.checks.too_large_fuse import thicker
from fuseplan.checks.unlisted import segment_unlisted
from fuseplan.engine import demand
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.demand import Demands
from fuseplan.engine.intervals import CRANKING_S, FIVE_S, LONGEST_MOMENTARY_S
from fuseplan.engine.picture import COPPER_BETA_C, COPPER_K
from fuseplan.engine.ratios import heated_c
from fuseplan.engine.results import Results
from fuseplan.engine.segments import Segments
from fuseplan.formulas.adiabatic import adiabatic_k
from fuseplan.formulas.thermal import conductor_temperature
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import insulations

MOMENTARY_SOURCE = ("adiabatic rise, IEC 60949 with K = 226 for copper (from memory; its k values are printed in IEC "
                    "60364-4-43 table 43A)")


SOURCE = "ampacity table of the set of limits"


def for_minutes(*kinds: str) -> Limit:
    """What lasts on each segment of owners of these kinds, against the wire's ampacity in its place."""
    def rows(results: Results) -> LimitRows:
        members = _members(results, kinds)
        return rows_of(lambda: _subjects(results, members), members, results.segment_limit_a[members],
                       lambda figures: figures.demands.lasting[:, members])

    return rows


def for_seconds(*kinds: str) -> Limit:
    """The heat of some seconds with all on, against what the insulation is rated for: of segments of owners of these
    kinds that then carry more than their ampacity."""
    def rows(results: Results) -> LimitRows:
        members = _members(results, kinds)
        return rows_of(lambda: _subjects(results, members), members, results.network.segments.max_c[members],
                       lambda figures: _final_c(results, figures.demands, members))

    return rows


def _members(results: Results, kinds: Collection[str]) -> Ints:
    of = results.network.segments_of
    return np.sort(np.concatenate([np.zeros(0, dtype=np.int64), *(of[kind] for kind in kinds if kind in of)]))


def _subjects(results: Results, members: Ints) -> list[Subject]:
    return [segment_subject(results, index) for index in members.tolist()]


def _final_c(results: Results, demands: Demands, members: Ints) -> Floats:
    """Conductor temperature after some seconds with all on, from the steady temperature before it, in °C (cases,
    members); NaN where a segment does not carry more than its ampacity then."""
    limit = results.segment_limit_a[members]
    limit = np.where(np.isnan(limit), results.ceilings.ampacity_a[members], limit)
    brief = demands.segment[:, FIVE_S, members]
    heats = np.isfinite(limit) & exceeds(brief, limit)
    found = np.full(brief.shape, np.nan)
    some = np.flatnonzero(heats.any(axis=0))
    if some.size:
        segments, hot = results.network.segments, members[some]
        steady = steady_before(segments, demands.lasting[:, hot], limit[some], hot)
        end = heated_c(steady, brief[:, some]**2 * seconds_on(results, hot), segments.area_mm2[hot])
        found[:, some] = np.where(heats[:, some], end, np.nan)
    return found


def seconds_on(results: Results, members: Ints) -> Floats:
    """How long what some segments carry for seconds is on: longer where a starter is behind them (members,) [s]."""
    network, segments = results.network, results.network.segments
    # The last place stands for consumers without a circuit.
    turns = np.append(demand.seconds_on(network) != LONGEST_MOMENTARY_S, False)[network.consumers.circuit].astype(float)
    branch, returns = segments.branch[members], segments.returns[members]
    on_way = np.where(returns, network.returns.branch_sums(turns)[np.where(returns, branch, 0)],
                      network.supply.branch_sums(turns)[np.where(returns, 0, branch)])
    return np.where(on_way > 0, CRANKING_S, LONGEST_MOMENTARY_S)


def for_seconds_a(results: Results, members: Ints) -> Floats:
    """What some segments carry so long, as entered, before their insulation is as hot as it is rated for: the current
    at which `for_seconds` is at its limit, or their ampacity where that is more (members,) [A]; NaN where that is not
    on file."""
    segments, limit = results.network.segments, results.segment_limit_a[members]
    start_c = steady_before(segments, results.demands.lasting[0, members], limit, members)
    k = adiabatic_k(COPPER_K, np.maximum(segments.max_c[members], start_c), start_c, COPPER_BETA_C)
    return np.asarray(np.maximum(limit, k * segments.area_mm2[members] / seconds_on(results, members)**0.5))


def steady_before(segments: Segments, lasting_a: Floats, limit_a: Floats, members: Ints) -> Floats:
    """Conductor temperature in °C of some segments before a momentary load, by the square law (…, members): no higher
    than what the insulation is rated for, which also stands where nothing says what the wire may carry."""
    some = np.where(limit_a > 0, limit_a, np.nan)
    ambient_c, max_c = segments.ambient_c[members], segments.max_c[members]
    steady = np.asarray(conductor_temperature(ambient_c, max_c, lasting_a, some))
    return np.asarray(np.clip(np.where(np.isnan(steady), np.inf, steady), ambient_c, np.maximum(max_c, ambient_c)))


def _past_the_tables(results: Results, index: int) -> int | None:
    """The case in which a wire of which nothing is on file carries more than the next one that is: 0 as entered, 1 at
    the worst-case current; None where it does in neither."""
    most = results.ceilings.ampacity_a[index]
    return next((bound for bound in range(2) if exceeds(results.demands.lasting[bound, index], most)), None)


def _basis(results: Results, index: int) -> str:
    size = results.network.segments.segment[index].size
    rated = None if size is None else results.limit_set.ampacity(size, results.network.segments.insulation[index])
    return results.limit_set.words if rated is None else f"{rated.source.line()}; {rated.basis}"


def fix_for_load(results: Results, index: int, current_a: float, bound: int = 0) -> Fix:
    """What to do about a wire that carries too much, for minutes or for seconds, as entered or at the worst-case
    current: another insulation first where its place asks for one."""
    fix = _fix(results, index, current_a, bound)
    words = insulation_first(results, index, current_a, fix.words)
    return fix if words == fix.words else Fix(words, wire_fields(results, index),
                                              sizes=fix.sizes if fix.words in words else ())


def _fix(results: Results, index: int, current_a: float, bound: int) -> Fix:
    """What to fit in the place of a wire that carries too much: a size that the fuse before it protects, too, where a
    wire that only carries the current would burn behind that."""
    fields, better = wire_fields(results, index), insulation_asked(results, index)

    def with_size(words: str, size: str) -> Fix:
        return Fix(words, fields, ((segment_path(results, index, "size"), size),), ((index, size),))

    size = _size(results, index, current_a, bound, better)
    if size is None:
        fuses = "" if results.network.segments.returns[index] else ", each with its own fuse"
        return Fix(f"share the current between two wires{fuses}, or move the wire to a cooler place", fields)
    size = asked_too(results, index, size)
    guard, network = int(results.network.segment_guard[index]), results.network
    if guard < 0 or results.fusing.against_shorts[guard] or results.fusing.short_branches[index]:
        return with_size(f"fit {writing.wire_size(size)} in its place", size)
    if network.fuses[guard].owner == network.segments.owner[index] and not is_coil_wire(network.segments.place[index]):
        fix = thicker(results, guard, index, or_fuse=False, told=index)
        # The fuse for the current as entered may be smaller than the worst-case current, and so may its wire be.
        if _carries(results, index, fix, current_a, bound):
            return fix._replace(fields=tuple(dict.fromkeys((*fields, *fix.fields))))
    rating = float(results.fusing.rating_a[guard])
    if not exceeds(rating, largest_fuse_a(results, index, WireSize.read(size), better)):
        return with_size(f"fit {writing.wire_size(size)} in its place", size)
    protected = size_that_carries(results, index, rating, True, better)
    if protected is None:
        return Fix(f"fit {writing.wire_size(size)} in its place; and a smaller fuse before it: a "
                   f"{writing.rating(rating)} fuse protects no wire on file there", fields, sizes=((index, size),))
    protected = asked_too(results, index, protected)
    return with_size(f"fit {writing.wire_size(protected)} in its place, which the {writing.rating(rating)} fuse before "
                     "it needs", protected)


def _carries(results: Results, index: int, fix: Fix, current_a: float, bound: int) -> bool:
    """Whether what a fix names leaves a wire that carries a current, and what flows for seconds."""
    size, insulation = dict(fix.sizes).get(index), fix.insulation or insulation_asked(results, index)
    return size is not None and not fix.lacks_size \
        and at_most(current_a, ampacity_of(results, index, WireSize.read(size), insulation)) \
        and _stands_seconds(results, index, size, current_a, bound, insulation)


def _size(results: Results, index: int, current_a: float, bound: int, insulation: str | None) -> str | None:
    """The thinnest standard size that carries a lasting current in the place of a segment, and what flows for seconds;
    None where none is on file."""
    size = size_that_carries(results, index, current_a, fitted=insulation)
    return None if size is None else next((
        each.words for each in sizes_for(results, index) if each.area_mm2 >= copper_mm2(size)
        and _stands_seconds(results, index, each.words, current_a, bound, insulation)), None)


def _stands_seconds(results: Results, index: int, size: str, current_a: float, bound: int, insulation: str | None
                    ) -> bool:
    """Whether a size in the place of a segment gets no hotter than its insulation is rated for in seconds of everything
    on, from the temperature of a lasting current."""
    limit_a = ampacity_of(results, index, WireSize.read(size), insulation)
    brief_a = float(results.demands.segment[bound, FIVE_S, index])
    if not exceeds(brief_a, limit_a):
        return True
    segments = results.network.segments
    ambient_c = float(segments.ambient_c[index])
    top_c = float(segments.max_c[index]) if insulation is None else insulations.insulation(insulation).max_c
    before_c = max(ambient_c, min(top_c, float(conductor_temperature(ambient_c, top_c, current_a, limit_a))))
    heat = brief_a**2 * seconds_on(results, np.array([index]))[0]
    after_c = heated_c(np.array(before_c), np.array(heat), np.array(copper_mm2(size)))
    return bool(at_most(float(after_c), top_c))


def overloaded(rule: Rule, results: Results, lasting: Limit, momentary: Limit) -> Iterator[Finding | Unjudged]:
    """Findings on wires: the lasting demand against the ampacity, and the heat of a momentary demand where the lasting
    one passes, or fails only at the worst case and the momentary one for certain."""
    segments, demands, limit = results.network.segments, results.demands, results.segment_limit_a
    failed: dict[int, int] = {}
    judged = lasting(results).judged(results)
    for index in judged.unknown:
        bound = _past_the_tables(results, index)
        if bound is None:
            yield rule.unjudged(segment_subject(results, index), segment_unlisted(results, index)
                                if np.isnan(limit[index]) else f"the current in {segment_words(results, index)}")
            continue
        failed[index] = bound
        current, most = float(demands.lasting[bound, index]), float(results.ceilings.ampacity_a[index])
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, index)} carries {writing.burden(current, 'A')}; the nearest wire on file is "
            f"rated for {writing.limit(most, 'A')} there ({results.ceilings.words[index]}); this one is no better, its "
            "own limit is not on file", figure=current, limit=most, unit="A", bound=bound,
            source=results.limit_set.words, fix=past_the_tables_fix(results, index), part=segments.place[index],
            fields=(segment_path(results, index, results.ceilings.key[index]),))
    for index, bound, current, most in judged.failing:
        failed[index] = bound
        fix = fix_for_load(results, index, current, bound)
        conductors = int(results.solution.loaded[:, index].max())
        shared = f" with {conductors} loaded wires together" if conductors > 1 else ""
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, index)} carries {writing.burden(current, 'A')}"
            f"{charging_words(results, segment_subject(results, index), current).rstrip(',')}; "
            f"at {writing.burden(segments.ambient_c[index], '°C')}{shared} its ampacity is {writing.limit(most, 'A')}",
            figure=current, limit=most, unit="A", bound=bound, source=_basis(results, index), fix=fix,
            part=segments.place[index])
    for index, bound, end_c, top_c in momentary(results).judged(results).failing:
        if failed.get(index, bound + 1) <= bound:
            continue
        first = another_insulation(results, index)
        yield rule.finding(
            results, segment_subject(results, index),
            f"{writing.burden(demands.segment[bound, FIVE_S, index], 'A')} for "
            f"{writing.stated(float(seconds_on(results, np.array([index]))[0]), 's')} takes "
            f"{segment_words(results, index)} to {writing.burden(end_c, '°C')}; its insulation is rated for "
            f"{writing.limit(top_c, '°C')}", figure=end_c, limit=top_c, unit="°C", bound=bound,
            source=MOMENTARY_SOURCE, part=segments.place[index],
            fix=Fix(first, wire_fields(results, index)) if first is not None else
            fix_for_load(results, index, float(demands.lasting[bound, index]), bound))
