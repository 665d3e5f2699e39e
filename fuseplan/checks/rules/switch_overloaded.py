"""The switch is not rated for this kind of load.

Cold lamps draw several times their current and motors arc when switched off, so a switch rated for heaters carries far
less of them before its contacts burn away; one that carries more than its rating melts. Where the rating is exceeded, a
relay switches the load and the switch only its coil.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.checks.limit import NO_ROWS, LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.shared_switches import shared_switches
from fuseplan.checks.subjects import charging_words, circuit_path, circuit_subject, current_known
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.relays import ADVISED_A, REQUIRED_A, factor, switch_rated, switch_to_fit, unrated_switch
from fuseplan.engine.results import Results
from fuseplan.plan.parts import CRANKING_TIMES
from fuseplan.plan.words import RatedFor
from fuseplan.quantities import writing
from fuseplan.results.circuit import LoadCurrent, RelayResult


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    switching = results.switching
    for number, bound, asked, most in rated_switches(results).judged(results).failing:
        rated_for, wanted = switch_words(results, number, bound)
        yield rule.finding(
            results, circuit_subject(results, number),
            f"its loads need a switch rated {wanted}{_why_more(results, number, rated_for)}; this one is rated "
            f"{switch_rated(most, rated_for)}", figure=asked, limit=most, unit="A", bound=bound,
            consequence=None if exceeds(switching.load_a[bound, number], most) else "damages_a_part",
            fix=f"a relay whose coil the switch feeds, or a switch of at least {wanted}",
            fields=(circuit_path(results, number, "relay.contact"), circuit_path(results, number, "switch.rating")))
    yield from _shared(rule, results)
    for number, bound, current, _ in unrated_switches(results).judged(results).failing:
        required = not bound and bool(exceeds(current, REQUIRED_A))
        yield rule.finding(
            results, circuit_subject(results, number), f"{writing.burden(current, 'A')} {unrated_switch(required)}",
            figure=current, limit=REQUIRED_A if required else ADVISED_A, unit="A", bound=bound,
            consequence="damages_a_part" if required else "good_practice",
            source="relay advised above 6 A: common practice, no source; required above about 10 A: a consumer "
                   "reference text",
            fix="a relay whose coil the switch feeds, or find the rating of the switch",
            fields=(circuit_path(results, number, "relay.contact"), circuit_path(results, number, "switch.rating")))


def _why_more(results: Results, number: int, rated_for: RatedFor | None) -> str:
    """Which kinds of its loads count more than what they draw, behind the rating they need; empty where none do."""
    times = {load.kind: factor(load.kind, results.network.system_v, rated_for)
             for load in results.network.circuits[number].load if load.kind is not None}
    more = [f"{kind} loads count {writing.stated(each, 'factor')} times what they draw" for kind, each
            in times.items() if exceeds(each, 1.0)]
    return f" ({', '.join(more)})" if more else ""


def _shared(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    """Switches in feeds and earth leads that are not rated for the kinds of load behind them."""
    fitted = shared_switches(results, results.demands)
    judged = switches_of_many(results).judged(results)
    for number in judged.unknown:
        if not fitted[number].is_known:
            yield rule.unjudged((fitted[number].kind, fitted[number].name), "the rating its switch needs: a current or "
                                "a kind of load behind it is not stated")
    for number, bound, asked, most in judged.failing:
        each = fitted[number]
        path = f"{each.kind}.{each.name}"
        if exceeds(asked, each.known_a[bound]):
            charging = charging_words(results, (each.kind, each.name), asked).rstrip(",")
            yield rule.finding(
                results, (each.kind, each.name),
                f"{writing.burden(asked, 'A')}{charging or ' for minutes'}; its switch is rated "
                f"{writing.limit(most, 'A')}", figure=asked, limit=most, unit="A", bound=bound,
                source="rating given in the plan", fix=f"a switch rated {writing.burden(asked, 'A')} or more",
                fields=(f"{path}.switch.rating",))
            continue
        wanted = switch_to_fit(asked, float(each.carried_a[bound]), each.kinds, each.rated_for)
        larger = f"a switch of at least {wanted}"
        yield rule.finding(
            results, (each.kind, each.name),
            f"the loads behind it{'' if each.is_known else ' that are known'} need a switch rated {wanted}, this one "
            f"is rated {switch_rated(most, each.rated_for)}", figure=asked, limit=most, unit="A", bound=bound,
            consequence="burns" if exceeds(each.carried_a[bound], most) else "damages_a_part",
            fix=larger if each.kind == "earth" else f"a relay in the feed whose coil the switch feeds, or {larger}",
            fields=(*((f"{path}.relay.contact",) if each.kind == "feed" else ()), f"{path}.switch.rating"))
    for number, bound, carried, most in switches_of_starters(results).judged(results).failing:
        each = fitted[number]
        path = f"{each.kind}.{each.name}"
        stated = "" if each.rating_a is None else f" rated {writing.rating(each.rating_a)}"
        taken = f", {writing.stated(CRANKING_TIMES, 'factor')} times that, as its maker's figure for seconds is not " \
                "stated" if each.cranking_rating_a is None else ""
        yield rule.finding(
            results, (each.kind, each.name),
            f"{writing.burden(carried, 'A')} pass its switch{stated} while the starter turns; it may carry "
            f"{writing.limit(most, 'A')} for that long{taken}", figure=carried, limit=most, unit="A", bound=bound,
            fix=f"a battery isolator that carries {writing.burden(carried, 'A')} for the seconds of a start, or take "
                "the starter cable from before the switch",
            source="the maker's figure" if each.cranking_rating_a is not None else
            f"{writing.stated(CRANKING_TIMES, 'factor')} times the rating for seconds: common practice, no source",
            fields=(f"{path}.switch.cranking_rating", f"{path}.switch.rating"))


def rated_switches(results: Results) -> LimitRows:
    """The rating the loads of each circuit ask of its switch, against the switch's own."""
    rating, _ = switches(results)
    parts = np.flatnonzero(current_known(results) & ~np.isnan(rating))
    return rows_of(lambda: [circuit_subject(results, number) for number in parts.tolist()], parts, rating[parts],
                   lambda figures: figures.switching.switch_a[:, parts])


def unrated_switches(results: Results) -> LimitRows:
    """What each circuit draws through a switch of unknown rating, against the current above which a relay is
    advised."""
    parts = np.flatnonzero(current_known(results) & switches(results)[1])
    return rows_of(lambda: [circuit_subject(results, number) for number in parts.tolist()], parts, ADVISED_A,
                   lambda figures: figures.switching.load_a[:, parts])


def switches_of_many(results: Results) -> LimitRows:
    """The rating the loads behind each switch in a feed or an earth lead ask of it, or what passes one in an earth lead
    for minutes where that exceeds it, against its own, in the order of `shared_switches`. NaN for one in a feed that
    carries more than its rating for minutes: that feed is overloaded."""
    fitted = [(number, each) for number, each in enumerate(shared_switches(results, results.demands))
              if each.rating_a is not None]
    if not fitted:
        return NO_ROWS
    parts = np.array([number for number, _ in fitted])
    limit = np.array([each.rating_a for _, each in fitted], dtype=float)
    in_feed = np.array([each.kind == "feed" for _, each in fitted])

    def asked(figures: CaseFigures) -> Floats:
        found = shared_switches(results, figures.demands)
        least = np.stack([found[number].known_a for number in parts.tolist()], axis=1)
        is_known = np.array([found[number].is_known for number in parts.tolist()])
        # What is known may exceed the rating by itself, whatever else there is; that it does not says nothing.
        needed = np.where(is_known | exceeds(least, limit), least, np.nan)
        lasting = np.stack([found[number].lasting_a for number in parts.tolist()], axis=1)
        return np.where(exceeds(lasting, limit), np.where(in_feed, np.nan, np.fmax(needed, lasting)), needed)

    return rows_of(lambda: [(each.kind, each.name) for _, each in fitted], parts, limit, asked)


def switches_of_starters(results: Results) -> LimitRows:
    """What the starters behind each switch in a feed or an earth lead draw, against what it may carry for the seconds
    in which they turn."""
    fitted = [(number, each) for number, each in enumerate(shared_switches(results, results.demands))
              if each.allowed_a is not None and not at_most(each.cranking_a.max(initial=0.0), 0.0)]
    if not fitted:
        return NO_ROWS
    parts = np.array([number for number, _ in fitted])
    return rows_of(
        lambda: [(each.kind, each.name) for _, each in fitted], parts,
        np.array([each.allowed_a for _, each in fitted], dtype=float), lambda figures: np.stack(
            [shared_switches(results, figures.demands)[number].cranking_a for number in parts.tolist()], axis=1))


def switch_words(results: Results, number: int, bound: int = 0) -> tuple[RatedFor | None, str]:
    """The kind of load the switch of a circuit is rated for, and the rating its loads need, in words."""
    circuit, switching = results.network.circuits[number], results.switching
    rated_for = None if circuit.switch is None else circuit.switch.loads_rated
    return rated_for, switch_to_fit(float(switching.switch_a[bound, number]), float(switching.load_a[bound, number]),
                                    {load.kind or "" for load in circuit.load}, rated_for)


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
    limits=(rated_switches, unrated_switches, switches_of_many, switches_of_starters),
    figures=((RelayResult.plain_switch_a, None), (LoadCurrent.five_s, None)),
)
