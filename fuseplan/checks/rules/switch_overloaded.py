"""The switch is not rated for this kind of load.

Cold lamps draw several times their current and motors arc when switched off, so a switch rated for heaters carries far
less of them before its contacts burn away; one that carries more than its rating melts. Where the rating is exceeded, a
relay switches the load and the switch only its coil.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, over_limit
from fuseplan.checks.shared_switches import shared_switches
from fuseplan.checks.subjects import circuit_path, circuit_subject, current_known
from fuseplan.engine.relays import ADVISED_A, REQUIRED_A
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.circuit import LoadCurrent, RelayResult

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    switching = results.switching
    rating, unrated = switches(results)
    known = current_known(results)
    for number, corner in over_limit(switching.switch_a, rating, known & ~np.isnan(rating)).fails:
        asked, most = float(switching.switch_a[corner, number]), float(rating[number])
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{MEASURE_WORDS if corner else ''}its loads need a switch rated {writing.burden(asked, 'A')}, this one is "
            f"rated {writing.rating(most)}",
            figure=asked, limit=most, unit="A", measure=bool(corner),
            consequence=None if switching.load_a[corner, number] > most else "damages_a_part",
            fix=f"a relay whose coil the switch feeds, or a switch of {writing.burden(asked, 'A')} or more",
            fields=(circuit_path(results, number, "relay.contact"), circuit_path(results, number, "switch.rating")))
    yield from _shared(rule, results)
    for number, corner in over_limit(switching.load_a, ADVISED_A, known & unrated).fails:
        current = float(switching.load_a[corner, number])
        required = not corner and current > REQUIRED_A
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{MEASURE_WORDS if corner else ''}{writing.burden(current, 'A')} through a switch of unknown rating: "
            f"above {writing.rating(REQUIRED_A if required else ADVISED_A)} a relay is "
            f"{'required' if required else 'advised'}",
            figure=current, limit=REQUIRED_A if required else ADVISED_A, unit="A", measure=bool(corner),
            consequence="damages_a_part" if required else "good_practice",
            source="relay advised above 6 A: common practice, no source; required above about 10 A: a consumer "
                   "reference text",
            fix="a relay whose coil the switch feeds, or find the rating of the switch",
            fields=(circuit_path(results, number, "relay.contact"), circuit_path(results, number, "switch.rating")))


def _shared(rule: Rule, results: Results) -> Iterator[Finding]:
    """Switches in feeds and earth leads that are not rated for the kinds of load behind them. A feed whose switch
    carries more than its rating is a feed that is overloaded; an earth lead's is found here."""
    for each in shared_switches(results):
        if each.rating_a is None:
            continue
        limit = np.array([each.rating_a])
        for _, corner in over_limit(each.asked_a[:2, None], limit, True).fails:
            melts = bool(each.carried_a[corner] > each.rating_a)
            if melts and each.kind == "feed":
                continue
            asked, path = float(each.asked_a[corner]), f"{each.kind}.{each.name}"
            larger = f"a switch of {writing.burden(asked, 'A')} or more"
            yield rule.finding(
                results, (each.kind, each.name),
                f"{MEASURE_WORDS if corner else ''}the loads behind it need a switch rated "
                f"{writing.burden(asked, 'A')}, this one is rated {writing.rating(each.rating_a)}",
                figure=asked, limit=each.rating_a, unit="A", measure=bool(corner),
                consequence="burns" if melts else "damages_a_part",
                fix=larger if each.kind == "earth" else f"a relay in the feed whose coil the switch feeds, or {larger}",
                fields=(*((f"{path}.relay.contact",) if each.kind == "feed" else ()), f"{path}.switch.rating"))


def switches(results: Results) -> tuple[Floats, Flags]:
    """Rating of the switch of each circuit that has one and no relay (circuits,) [A], NaN for others; and those that
    have one of unknown rating."""
    network = results.network
    rating, unrated = np.full(len(network.circuits), np.nan), np.zeros(len(network.circuits), dtype=bool)
    for number in network.marked.get("switch", ()):
        circuit = network.circuits[number]
        if circuit.switch is not None and circuit.relay is None:
            if circuit.switch.rating is None:
                unrated[number] = True
            else:
                rating[number] = float(circuit.switch.rating)
    return rating, unrated


RULE = Rule(
    consequence="burns",
    title="Switch overloaded",
    source="needed rating = load current times a factor by kind of load: FAA AC 43.13-1B Table 11-4",
    caution="An overloaded dash switch melts behind the dashboard.",
    fix="a relay whose coil the switch feeds",
    example="fails: 110 W of headlamps through a 10 A switch; passes: through a relay",
    find=find,
    figures=((RelayResult.plain_switch_a, None), (LoadCurrent.five_s, None)),
)
