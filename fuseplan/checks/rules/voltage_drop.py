"""The voltage drop between battery and load is too high.

A wire can be thick enough not to get hot and still drop so much that a pump runs slow or a lamp is dim. The supply side
is checked against the limit for its kind of circuit, the earth side against a limit of its own, unless the set of
limits has one limit for both. The handbook prints the limit of a lamp's lead from the light switch's supply terminal:
the feed its switch or relay is fed from; the whole way is judged by the voltage at the lamp. While the starter turns,
all that shares its strap is held against the earth-side limit of a starter circuit, and the supply side of all that
shares its cable counts from where it leaves that: what the starter's current loses there is held against the starter's
own limit, and the voltage left for what must run against that it needs. A load below 0.1 A is not judged.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.checks.drop_fix import together
from fuseplan.checks.drop_fixes import drop_fixes
from fuseplan.checks.drop_ways import Lack
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import (
    circuit_path,
    circuit_subject,
    condition_words,
    consumer_subjects,
    drop_known,
    load_words,
    owner_words,
    worst_by_circuit,
)
from fuseplan.engine.consumers import INTERMITTENT
from fuseplan.engine.drops import SMALLEST_A, Drops, WorstDrop, counted_from, counted_node, return_limits_v, switch_feed
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.noting import once
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.drop import DropResult
from fuseplan.tables.drops import DROP_CLASSES
from fuseplan.tables.load import Cited


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    circuit = results.network.consumers.circuit
    for returns, rows in ((False, supply_side(results)), (True, earth_side(results))):
        share = rows.figure(results.at_bounds)
        fails = rows.outcome(share).fails
        if not fails:
            continue
        worst = worst_by_circuit(results, fails, share)
        # Every load of a circuit that fails there has a part in the fix, the worst first.
        all_of = {number: [first, *(each for each in fails if each != first and each[1] == first[1]
                                    and int(circuit[each[0]]) == number)] for number, first in worst.items()}
        limit = _return_limits(results, results.drops) if returns else np.tile(_supply_limits(results), (2, 1))
        lacks = {number: list(_lacks(results, each, limit, returns=returns)) for number, each in all_of.items()}
        fixes = iter(drop_fixes(results, [lack for each in lacks.values() for lack in each]))
        for number, (lack, *others) in lacks.items():
            fix = together([next(fixes) for _ in range(1 + len(others))])
            words, source = (_way_back if returns else _way_out)(results, number, lack)
            yield rule.finding(
                results, circuit_subject(results, number), words, figure=lack.lost_v, limit=lack.most_v, unit="V",
                bound=lack.bound, fix=fix, source=source, part="earth side" if returns else "",
                fields=(*fix.fields, circuit_path(results, number, "earth" if returns else "feed")))


def _lacks(results: Results, found: Iterable[tuple[int, int]], limit: Floats, *, returns: bool) -> Iterator[Lack]:
    network, drops = results.network, results.drops
    worst: WorstDrop = drops.back if returns else drops.out
    both = results.limit_set.drop_covers_return
    for index, bound in found:
        choice, row = worst.at(bound, index, len(network.conditions))
        origin = 0 if returns else counted_node(
            network, network.circuits[int(network.consumers.circuit[index])], row % len(network.conditions))
        yield Lack(index, bound, choice, row, float(worst.volts[bound, index]), float(limit[bound, index]),
                   origin, supply=not returns, returns=returns or both)


def _way_out(results: Results, number: int, lack: Lack) -> tuple[str, str | None]:
    """What is lost on the way out, or on both sides, and the source of its limit."""
    network, circuit = results.network, results.network.circuits[number]
    kind, index = network.drop_classes[number], lack.consumer
    entry = _limits(results)[kind][int(network.consumers.use[index] >= INTERMITTENT)]
    start = None if lack.returns else counted_from(network, circuit, lack.row % len(network.conditions))
    side = "" if lack.returns else "supply-side "
    why = "which feeds its switch" if start == switch_feed(network, circuit) else "where it leaves the starter's cable"
    where = f"from {owner_words(results, ('feed', start))}, {why}, " if start is not None else ""
    return (f"{side}voltage drop {writing.burden(lack.lost_v, 'V')} {where}to {load_words(results, index)} in "
            f"{condition_words(results, lack.row % len(network.conditions))}; the limit is "
            f"{writing.limit(lack.most_v, 'V')} ({DROP_CLASSES.get(kind, kind)})",
            None if entry is None else entry.source.line())


def _way_back(results: Results, number: int, lack: Lack) -> tuple[str, str | None]:
    """What is lost on the way back, and the source of its limit."""
    condition = lack.row % len(results.network.conditions)
    limit = return_limits_v(results.network)[condition]
    return (f"earth-side voltage drop {writing.burden(lack.lost_v, 'V')} from {load_words(results, lack.consumer)} in "
            f"{condition_words(results, condition)}; the limit is {writing.limit(lack.most_v, 'V')}",
            None if limit is None else limit.source)


def supply_side(results: Results) -> LimitRows:
    """What each consumer loses on the part its limit is for, as a share of that limit; NaN where nothing limits it or
    its drop is not known."""
    limits = _supply_limits(results)
    return _shares(results, lambda drops: drops.out.volts / limits)


def earth_side(results: Results) -> LimitRows:
    """The same for the way back, by the limit of the condition."""
    return _shares(results, lambda drops: drops.back.volts / _return_limits(results, drops))


def _shares(results: Results, share: Callable[[Drops], Floats]) -> LimitRows:
    return rows_of(lambda: consumer_subjects(results), np.arange(results.network.consumers.count), 1.0,
                   lambda figures: share(figures.drops))


@once
def _supply_limits(results: Results) -> Floats:
    """What each consumer may lose on the way out, or out and back where the limits give one for both (L,) [V]."""
    network, limits, members = results.network, _limits(results), np.flatnonzero(_judged(results))
    by_kind = {kind: [entry.value if entry is not None else np.nan for entry in both] for kind, both in limits.items()}
    printed = np.array([by_kind[kind] for kind in network.drop_classes], dtype=float).reshape(-1, 2)
    found = np.full(network.consumers.count, np.nan)
    found[members] = printed[network.consumers.circuit[members],
                             (network.consumers.use[members] >= INTERMITTENT).astype(int)]
    return found


def _return_limits(results: Results, drops: Drops) -> Floats:
    """What each consumer may lose on the way back alone, in the condition in which it loses most of that (cases, L)
    [V]."""
    limits = np.array([np.nan if each is None else each.volts for each in return_limits_v(results.network)])
    return np.where(_judged(results), limits[drops.back.condition], np.nan)


def _judged(results: Results) -> NDArray[np.bool_]:
    """Loads whose drop is known, and which draw enough for it to matter (L,)."""
    consumers, loads = results.network.consumers, results.load_consumers
    found = np.zeros(consumers.count, dtype=bool)
    found[loads] = drop_known(results)[consumers.circuit[loads]]
    return np.asarray(found & (results.demands.load[1, FIVE_S] >= SMALLEST_A))


@once
def _limits(results: Results) -> dict[str, tuple[Cited[float] | None, Cited[float] | None]]:
    """Limits of each kind of circuit, for lasting and for short use."""
    limit_set, system_v = results.limit_set, results.network.system_v
    return {word: (limit_set.drop_limit(word, system_v, "continuous"),
                   limit_set.drop_limit(word, system_v, "intermittent")) for word in DROP_CLASSES}


RULE = Rule(
    consequence="fails_in_use",
    title="Voltage drop too high",
    source="voltage drop limits of the set",
    caution="Low voltage starves pumps and control units long before anything gets hot; a bigger fuse does not "
            "fix it.",
    fix="a thicker wire",
    example="fails: 6 A over 6 m of 1 mm²; passes: 3 m of 4 mm²",
    find=find,
    limits=(supply_side, earth_side),
    figures=((DropResult.judged_v, DropResult.limit_v), (DropResult.return_v, None)),
    resistance=True,
    ambient=True,
)
