"""The voltage drop between battery and load is too high.

A wire can be thick enough not to get hot and still drop so much that a pump runs slow or a lamp is dim. The supply side
is checked against the limit for its kind of circuit, the earth side against a limit of its own, unless the set of
limits has one limit for both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.drop_fixes import less_drop, own_segments
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, over_limit
from fuseplan.checks.subjects import (
    circuit_path,
    circuit_subject,
    condition_words,
    drop_known,
    load_words,
    segments_on,
    worst_by_circuit,
)
from fuseplan.engine.assumed import drop_class_of
from fuseplan.engine.consumers import INTERMITTENT
from fuseplan.engine.drops import Drops
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.circuit import DropResult
from fuseplan.tables.drops import DROP_CLASSES
from fuseplan.tables.load import Cited, table

Floats = NDArray[np.float64]


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    limit_set, network, drops = results.limit_set, results.network, results.drops
    consumers, limits, limit = network.consumers, _limits(results), supply_limits(results)
    classes = [drop_class_of(circuit) for circuit in network.circuits]
    figure = judged_drops(results, drops)
    on = segments_on(results, returns=False)
    failing = over_limit(figure, limit, ~np.isnan(limit)).fails
    for number, (index, corner) in worst_by_circuit(results, failing, figure - limit).items():
        word = classes[number]
        entry = limits[word][int(consumers.use[index] >= INTERMITTENT)]
        lost, most = float(figure[corner, index]), float(limit[index])
        fix, paths = less_drop(results, own_segments(results, index, on), index, corner, lost, most)
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{MEASURE_WORDS if corner else ''}{'' if limit_set.drop_covers_return else 'supply-side '}voltage drop "
            f"{writing.burden(lost, 'V')} to {load_words(results, index)} in "
            f"{condition_words(results, int(drops.condition[corner, index]))}; the limit for "
            f"{DROP_CLASSES.get(word, word)} is {writing.limit(most, 'V')}", figure=lost, limit=most, unit="V",
            measure=bool(corner), fix=fix, source=entry.source.line() if entry is not None else None,
            fields=(*paths, circuit_path(results, number, "feed")))
    yield from _way_back(rule, results, classes)


def judged_drops(results: Results, drops: Drops) -> Floats:
    """The drop of each consumer that `supply_limits` limits (cases, L) [V]."""
    return drops.total_v if results.limit_set.drop_covers_return else drops.supply_v


def supply_limits(results: Results) -> Floats:
    """What each consumer may lose on the way out, or out and back where the limits give one for both (L,) [V]; NaN
    where nothing limits it or its drop is not known."""
    network, limits, members = results.network, _limits(results), _judged(results)
    printed = np.array([[entry.value if entry is not None else np.nan for entry in limits[drop_class_of(circuit)]]
                        for circuit in network.circuits], dtype=float).reshape(-1, 2)
    found = np.full(network.consumers.count, np.nan)
    found[members] = printed[network.consumers.circuit[members],
                             (network.consumers.use[members] >= INTERMITTENT).astype(int)]
    return found


def return_limits(results: Results) -> Floats:
    """What each consumer may lose on the way back alone (L,) [V]; NaN where nothing limits it or it is not known."""
    network, drop, members = results.network, results.limit_set.drop, _judged(results)
    found = np.full(network.consumers.count, np.nan)
    if not results.limit_set.drop_covers_return and drop.return_limit_v is not None:
        starter = _starter()
        by_circuit = [starter.value if starter is not None and drop_class_of(circuit) == "starter_main"
                      else drop.return_limit_v for circuit in network.circuits]
        found[members] = np.array(by_circuit, dtype=float)[network.consumers.circuit[members]] \
            * (network.system_v / 12.0)
    return found


def _judged(results: Results) -> NDArray[np.int64]:
    """Loads whose drop is known."""
    consumers = results.network.consumers
    loads = results.load_consumers
    return loads[drop_known(results)[consumers.circuit[loads]]]


def _starter() -> Cited[float] | None:
    return table("starter_tester_drops").cited("side", "return", "drop_v")


def _limits(results: Results) -> dict[str, tuple[Cited[float] | None, Cited[float] | None]]:
    """Limits of each kind of circuit, for lasting and for short use."""
    limit_set, system_v = results.limit_set, results.network.system_v
    return {word: (limit_set.drop_limit(word, system_v, "continuous"),
                   limit_set.drop_limit(word, system_v, "intermittent")) for word in DROP_CLASSES}


def _way_back(rule: Rule, results: Results, classes: Sequence[str | None]) -> Iterator[Finding]:
    drops, limit, starter = results.drops, return_limits(results), _starter()
    for number, (index, corner) in worst_by_circuit(results, over_limit(drops.return_v, limit, ~np.isnan(limit)).fails,
                                                    drops.return_v - limit).items():
        lost, most = float(drops.return_v[corner, index]), float(limit[index])
        cited = starter.source.line() if starter is not None and classes[number] == "starter_main" else \
            results.limit_set.drop.return_source
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{MEASURE_WORDS if corner else ''}earth-side voltage drop {writing.burden(lost, 'V')} from "
            f"{load_words(results, index)} in {condition_words(results, int(drops.condition[corner, index]))}; the "
            f"limit is {writing.limit(most, 'V')}",
            figure=lost, limit=most, unit="V", measure=bool(corner), source=cited,
            fix="a thicker earth wire or strap, clean joints, or an earth point nearer the battery",
            fields=(circuit_path(results, number, "earth_wire.0.size"), circuit_path(results, number, "earth")))


RULE = Rule(
    consequence="fails_in_use",
    title="Voltage drop too high",
    source="voltage drop limits of the set",
    caution="Low voltage starves pumps and control units long before anything gets hot; a bigger fuse does not "
            "fix it.",
    fix="a thicker wire",
    example="fails: 6 A over 6 m of 1 mm²; passes: 3 m of 4 mm²",
    find=find,
    figures=((DropResult.judged_v, DropResult.limit_v), (DropResult.return_v, None)),
    resistance=True,
)
