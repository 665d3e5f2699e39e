"""The load current is more than the relay contact carries at the temperature of its place.

The rating on a relay is for room temperature. In a hot place it is lower, and for lamps and motors some makers publish
a lower one again. A load of a few seconds may exceed the rating by the published short-time multiple, but not what the
contact may break, where the plan gives that.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.contacts import contact_for_circuit, unprinted_fix, unprinted_words
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import circuit_path, circuit_subject, current_known
from fuseplan.engine.demand import seconds_on
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.relays import contact_a, fitted_contact, loads_to_share_out
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.tables import relays as relay_tables


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, found = results.network, results.fitted_contacts
    if not found:
        return
    yield from _on_opening(rule, results)
    known, failed = current_known(results), set()
    for number, bound, need, most in through_contacts(results).judged(results).failing:
        failed.add(number)
        entry, node = found[number].contact, network.circuit_node[[number]]
        name = network.circuits[number].relay
        better = contact_for_circuit(results, number, network.circuits[number].relay, bound)
        brief, seconds = need > results.demands.lasting_at(node)[bound, 0], float(seconds_on(network)[number])
        figure = float(results.demands.circuit[bound, FIVE_S, number]) if brief else need
        limit_a = most * relay_tables.short_time_multiple(seconds).value if brief else most
        time = f" for {writing.stated(seconds, 's')}" if brief else ""
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{writing.burden(figure, 'A')}{time} through the contact of its "
            f"{relay_tables.contact_words(name.contact) if name else 'relay'} at "
            f"{writing.burden(entry.ambient_c, '°C')}, rated for {writing.limit(limit_a, 'A')}"
            f"{'' if entry.is_printed else ' at the highest temperature published, cooler than here'}",
            figure=figure, limit=limit_a, unit="A", bound=bound, source=entry.source,
            fix=_fix(results, number, better), fields=(circuit_path(results, number, "relay.contact"),))
    for number in of_circuits(network, _unprinted, "relay"):
        if number not in failed and known[number]:
            entry = found[number].contact
            relay = network.circuits[number].relay
            fix = unprinted_fix(results, (contact_for_circuit(results, number, relay, bound) for bound in (1, 0)))
            yield rule.unjudged(circuit_subject(results, number), "rating of its relay contact at "
                                f"{writing.burden(entry.ambient_c, '°C')}: {fix}")
            yield rule.finding(
                results, circuit_subject(results, number), unprinted_words(entry.ambient_c), figure=entry.ambient_c,
                unit="°C", consequence="not_judged", source=entry.source, fix=fix,
                fields=(circuit_path(results, number, "relay.contact"),))


def _fix(results: Results, number: int, better: str | None) -> str:
    """What to fit in place of an overloaded contact, `better` where one on file carries the load there."""
    apart = loads_to_share_out(results.network, int(results.network.circuit_node[number]))
    if better is not None:
        return results.network.stock.relay_words(better) + (", or two relays, each with its own load" if apart else "")
    return f"{'two relays, each with its own load and fuse' if apart else 'a relay rated for more'}, or a cooler place"


def _on_opening(rule: Rule, results: Results) -> Iterator[Finding]:
    for number, bound, load_a, most_a in broken_by_contacts(results).judged(results).failing:
        yield rule.finding(
            results, circuit_subject(results, number),
            f"the contact of its relay opens on {writing.burden(load_a, 'A')} and may break "
            f"{writing.limit(most_a, 'A')}", figure=load_a, limit=most_a, unit="A", bound=bound,
            source="what the contact may break, given in the plan",
            fix=f"a relay that may break {writing.burden(load_a, 'A')} or more at the car's voltage",
            fields=(circuit_path(results, number, "relay.breaks"), circuit_path(results, number, "relay.contact")))


def broken_by_contacts(results: Results) -> LimitRows:
    """What each circuit draws for 5 s, against what the contact of its relay may break, where the plan gives that."""
    breaks = of_circuits(results.network, _breaks, "relay breaks")
    known = current_known(results)
    parts = np.array([number for number in breaks if known[number]], dtype=np.int64)
    return rows_of(lambda: [circuit_subject(results, number) for number in parts.tolist()], parts,
                   np.array([breaks[number] for number in parts.tolist()], dtype=float),
                   lambda figures: figures.demands.circuit[:, FIVE_S, parts])


def _breaks(network: Network, number: int) -> float | None:
    """What the contact of a circuit's relay may break [A]; None where the plan does not say, or without one."""
    circuit = network.circuits[number]
    if circuit.relay is None or circuit.relay.breaks is None or circuit.out_of_scope is not None:
        return None
    return float(circuit.relay.breaks)


def through_contacts(results: Results) -> LimitRows:
    """The rating each circuit with a relay asks of its contact, against what that carries in its place."""
    found, known = results.fitted_contacts, current_known(results)
    parts = np.array(list(found), dtype=np.int64)
    carries_a = np.array([each.carries_a for each in found.values()], dtype=float)
    judged = known[parts]
    parts = parts[judged]
    return rows_of(lambda: [circuit_subject(results, number) for number in parts.tolist()], parts, carries_a[judged],
                   lambda figures: contact_a(results.network, figures.demands)[:, parts])


def _unprinted(network: Network, number: int) -> bool | None:
    """Whether no rating is printed for the contact of a circuit's relay in its place; None where one is."""
    fitted = fitted_contact(network, number)
    return (fitted is not None and not fitted.contact.is_printed) or None


RULE = Rule(
    consequence="burns",
    title="Relay contact overloaded",
    source="relay makers' datasheets",
    caution="An overloaded relay socket melts, and a contact that welds shut cannot be switched off with the key.",
    fix="a larger contact, or two relays",
    example="fails: 38 A through a 25 A contact; passes: 18 A through a 40 A contact",
    find=find,
    ambient=True,
    limits=(through_contacts, broken_by_contacts),
)
