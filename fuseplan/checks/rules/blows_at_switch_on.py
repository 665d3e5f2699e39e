"""The fuse may blow on the inrush current when its load is switched on.

Motors and cold lamps draw many times their running current for a moment. As theirs falls it counts for as long as its
peak would need for the same heat. The surge is held against the least time in
which the fuse may open, past the last multiple with one against the heat on which it may open there, which does not
grow with the current; one of up to a tenth of a second may instead be held as heat against the fuse's melting I²t,
by a published pulse chart. Of a type and rating without one on file the smallest heat of its printed least times
stands in: it clears a fuse and fails none. Where nothing on file answers, the check is listed as not made. No verdict
rests on that, as a fuse that blows without need is no danger. Where the plan gives no surge, the usual one of its kind
stands in, and the finding asks for a measurement.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import fuse_words
from fuseplan.checks.fuse_to_fit import Named, above_surge, carrying, suiting
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import circuit_subject, fuse_path, fuse_subject, load_path, load_words
from fuseplan.checks.too_large_fuse import thicker_with
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import least_heat_a2s, least_time_s, limits
from fuseplan.engine.equipment import limit_words, strictest
from fuseplan.engine.inrush import MAY_BLOW, PULSES, SHORT_PULSE_S, StartSurge, allowed_heat_a2s, withstands
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.results import Results
from fuseplan.engine.starting_together import start_with
from fuseplan.engine.stock import ratings_between
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.quantities.listing import first_few
from fuseplan.tables.fuses import kind_words
from fuseplan.trace import bare


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    inrush, consumers, network = results.inrush, results.network.consumers, results.network
    worst: dict[int, int] = {}
    for consumer in np.flatnonzero((inrush.withstood == MAY_BLOW) | (inrush.worst_withstood == MAY_BLOW)).tolist():
        circuit = int(consumers.circuit[consumer])
        held = worst.get(circuit)
        if held is None or _gravity(results, consumer) > _gravity(results, held):
            worst[circuit] = consumer
    for circuit, consumer in worst.items():
        others = inrush_with(results, consumer)
        row, rating = network.fuses[int(inrush.device[consumer])], results.fusing.rating_a[inrush.device[consumer]]
        certain, usual = bool(inrush.withstood[consumer] == MAY_BLOW), bool(inrush.assumed[consumer])
        through = float((inrush.through_a if certain else inrush.worst_through_a)[consumer])
        length = float(inrush.length_s[consumer])
        figure, limit, unit, words = _words(row.fuse.kind, float(rating), through, length)
        printed = limits(row.fuse.kind, float(rating))
        fix = _fix(results, int(inrush.device[consumer]), usual, not certain)
        load = load_path(results, consumer, "inrush")
        yield rule.finding(
            results, circuit_subject(results, circuit),
            f"switching on {load_words(results, consumer)}{others} draws {writing.burden(through, 'A')}, "
            f"counted as lasting {words}",
            figure=figure, limit=limit, unit=unit, bound=int(not certain), usual=usual, fix=fix,
            source=rule.source if printed is None or _by_chart(row.fuse.kind, float(rating), through, length)
            else "; ".join(each.line() for each in printed.sources),
            fields=(load, *fix.fields) if usual else (*fix.fields, load))
    for start in inrush.starts:
        yield _together(rule, results, start)
    yield from _silent(rule, results, set(worst))


def _silent(rule: Rule, results: Results, failing: set[int]) -> Iterator[Unjudged]:
    """Circuits and feeds with a surge that nothing on file judges, in the same words for one type of fuse. Whether
    their fuse blows without need is no question of safety."""
    network, inrush = results.network, results.inrush
    asked = [(circuit_subject(results, circuit), int(inrush.device[consumer]))
             for consumer in np.flatnonzero(inrush.silent).tolist()
             if (circuit := int(network.consumers.circuit[consumer])) not in failing
             and network.circuits[circuit].out_of_scope is None]
    asked += [(fuse_subject(network.fuses[device]), device) for device in inrush.silent_starts.tolist()]
    for subject, device in asked:
        kind, rating = network.fuses[device].fuse.kind, float(results.fusing.rating_a[device])
        if not np.isnan(rating):
            lacks = "no opening times of its type on file" if limits(kind, rating) is None else \
                "no time on file for so large a current"
            yield rule.unjudged(subject, f"whether its {kind_words(kind)} blows at switch-on: {lacks}", safety=False)


def inrush_with(results: Results, consumer: int) -> str:
    """The other loads whose surges overlap with that of a load, in words; empty for none."""
    others = start_with(results.network, results.inrush.peak_a, consumer)
    return f" together with {_named(results, others)}" if others else ""


def _named(results: Results, loads: list[int]) -> str:
    return first_few(loads, NAMED, lambda load: load_words(results, load))


NAMED = 3
"""So many loads that start together are named."""


def _together(rule: Rule, results: Results, start: StartSurge) -> Finding:
    """What is switched on together, and the fuse of a feed before it."""
    row, rating = results.network.fuses[start.device], float(results.fusing.rating_a[start.device])
    certain = start.withstood[0] == MAY_BLOW
    through = start.through_a[0 if certain else 1]
    figure, limit, unit, words = _words(row.fuse.kind, rating, through, start.length_s)
    printed = limits(row.fuse.kind, rating)
    fix = _fix(results, start.device, start.assumed, not certain)
    return rule.finding(
        results, fuse_subject(row),
        f"{'starting' if start.loads.size > 1 else 'switching on'} {_named(results, start.loads.tolist())}"
        f"{' together' if start.loads.size > 1 else ''} draws {writing.burden(through, 'A')}, "
        f"counted as lasting {words}",
        figure=figure, limit=limit, unit=unit, bound=int(not certain), usual=start.assumed,
        source=rule.source if printed is None or _by_chart(row.fuse.kind, rating, through, start.length_s)
        else "; ".join(each.line() for each in printed.sources),
        fix=fix)


def _gravity(results: Results, consumer: int) -> tuple[bool, bool, float]:
    """A surge the plan gives goes before a usual one, one that fails as entered before another, then the one with more
    heat."""
    inrush = results.inrush
    return not inrush.assumed[consumer], bool(inrush.withstood[consumer] == MAY_BLOW), float(inrush.heat_a2s[consumer])


def _words(kind: str, rating_a: float, through_a: float, length_s: float) -> tuple[float, float, str, str]:
    """(figure, limit, unit, words) of the test that fails: the heat where one is on file and the surge is short."""
    heat, allowed = through_a**2 * length_s, allowed_heat_a2s(kind, rating_a)
    if _by_chart(kind, rating_a, through_a, length_s):
        return heat, allowed, "A²s", (f"{writing.burden(length_s, 's')}, {writing.burden(heat, 'A²s')}; "
                                      f"its {writing.rating(rating_a)} fuse withstands {writing.limit(allowed, 'A²s')} "
                                      f"{writing.whole(PULSES)} times")
    least = float(least_time_s(kind, rating_a, np.array(through_a)))
    if np.isnan(least):
        opens = least_heat_a2s(kind, rating_a)
        return heat, opens, "A²s", (f"{writing.burden(length_s, 's')}, {writing.burden(heat, 'A²s')}; "
                                    f"its {writing.rating(rating_a)} fuse may blow at {writing.limit(opens, 'A²s')}")
    return length_s, least, "s", (f"{writing.burden(length_s, 's')}; its {writing.rating(rating_a)} fuse may blow "
                                  f"after {writing.limit(least, 's')} at that current")


def _by_chart(kind: str, rating_a: float, through_a: float, length_s: float) -> bool:
    """Whether the published pulse chart judges a surge that fails, by its heat: a short one, or one of which nothing
    else is on file and whose first part is past the chart."""
    if np.isnan(allowed_heat_a2s(kind, rating_a)):
        return False
    return length_s <= SHORT_PULSE_S or (bool(np.isnan(least_time_s(kind, rating_a, np.array(through_a))))
                                         and through_a**2 * length_s <= least_heat_a2s(kind, rating_a))


def _fix(results: Results, device: int, usual: bool, worst: bool) -> Fix:
    """What to fit; where only a `worst` case fails, what withstands that."""
    fits, key = above_surge(results, device, usual, worst), fuse_path(results.network.fuses[device], "rating")
    if usual:
        rest = f", or fit {fuse_words(results, device, fits[0])}; the wire allows it" if fits else f"; {RULE.fix}"
        return Fix(f"measure the inrush current and enter it{rest}", (key,))
    if fits:
        return Fix(f"fit {fuse_words(results, device, suiting(results, device, fits))}; the wire allows it", (key,))
    fusing, low = results.fusing, float(results.fusing.low_a[0, device])
    found = carrying(results, device, low)
    if found is None or not found.withstands or exceeds(found.rating_a, fusing.maker_a[device]) \
            or not _is_slower(results, device, found, worst):
        return _of_no_rating(results, device, worst)
    if at_most(found.rating_a, float(fusing.high_a[device])):
        return Fix(f"fit {found.words}; the wire allows it", (key,))
    fix = thicker_with(results, device, low, found.rating_a, found.words)
    rating = dict(fix.values).get(key)
    if rating is None:
        return fix._replace(values=())
    if _withstands_whole(results, device, found.kind, amount(rating, CURRENT)):
        return fix
    return Fix(f"{fix.words}; through a thicker wire it draws more at switch-on: enter that and look again", (key,),
               sizes=fix.sizes)


def _is_slower(results: Results, device: int, found: Named, worst: bool) -> bool:
    """Whether a fuse that carries the load as entered is no smaller one of the type that blows, and withstands the
    worst case where that is what fails."""
    now = float(results.fusing.rating_a[device])
    is_other = found.kind != results.network.fuse_kinds[device] or bool(exceeds(found.rating_a, now))
    return is_other and (not worst or withstands(
        results.inrush, results.surges.starts, device, found.kind, found.rating_a, usual=False))


def _of_no_rating(results: Results, device: int, worst: bool) -> Fix:
    """What is done where no rating is named: a larger one only where the equipment behind it allows one that helps."""
    row, kind, most = results.network.fuses[device], results.network.fuse_kinds[device], results.fusing.maker_a[device]
    if math.isinf(most) or any(withstands(
            results.inrush, results.surges.starts, device, kind, rating, usual=False, worst=worst)
            for rating in ratings_between(kind, float(results.fusing.rating_a[device]), float(most))):
        return Fix(RULE.fix, (fuse_path(row, "rating"),))
    capped = limit_words(results.network, strictest(results.network)[device])
    return Fix(f"a slower type of fuse of at most {writing.rating(float(most))}: {capped} allows no larger one",
               (fuse_path(row, "kind"),))


def _withstands_whole(results: Results, device: int, kind: str, rating_a: float) -> bool:
    """Whether a fuse withstands what is switched on behind a device however little the wires limit that."""
    inrush, starts = results.inrush, results.surges.starts
    behind = np.union1d(np.flatnonzero(inrush.device == device), starts.load[starts.device == device])
    whole = bare(results.demands.load)[:, FIVE_S][:, behind] * results.network.consumers.inrush[behind]
    more = np.maximum(whole - results.surges.peak_a[:, behind], 0.0).sum(axis=1, keepdims=True)
    return withstands(inrush, starts, device, kind, rating_a, usual=False, more_a=more)


RULE = Rule(
    consequence="fails_in_use",
    title="Fuse blows at switch-on",
    source="short pulses: 22 % of melting I²t for 100,000 pulses, Littelfuse catalogue rev. 03/03/17 p. 12, a chart "
    "for electronic fuses, not for vehicle blade fuses; longer inrush: the type's shortest opening time",
    caution="A fuse that blows at switch-on tempts you to fit a bigger one: change the wire with it, or the type of "
            "fuse.",
    fix="a slower type of fuse, or a larger fuse together with a thicker wire",
    example="fails: 50 A for 0.5 s on a 15 A mini fuse; passes: 50 A for 0.1 s on a 30 A mini fuse",
    find=find,
)
