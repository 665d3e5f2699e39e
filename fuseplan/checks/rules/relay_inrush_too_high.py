"""The inrush current is more than the relay contact may make.

A cold filament draws about ten times its running current, a standing motor about five times. The contact can weld in
that moment. Where the plan gives no surge, the usual multiple for lamps and motors is taken, and the finding asks for a
measurement.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.contacts import contact_for_circuit, surge_assumed, surges
from fuseplan.checks.cut_offs import keeping_it_running
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, current_known
from fuseplan.engine.relays import loads_to_share_out
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, found = results.network, results.fitted_contacts
    if not found:
        return
    fails = with_usual_surge(results).judged(results).failing
    if not fails:
        return
    running, assumed = keeping_it_running(results), surge_assumed(results)
    certain = {number for number, bound in made_by_contacts(results).judged(results).fails if not bound}
    for number, bound, current, most in fails:
        usual = bool(assumed[number]) and number not in certain
        name = contact_for_circuit(results, number, network.circuits[number].relay, bound)
        better = network.stock.relay_words(name) if name else "a contact with a higher making current"
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{writing.burden(current, 'A')} at switch-on; the contact is rated to make {writing.limit(most, 'A')}",
            figure=current, limit=most, unit="A", bound=bound, usual=usual, source=found[number].contact.source,
            consequence=None if number in running else "damages_a_part",
            fix=f"a relay for each load, started one after the other, or {better}" if loads_to_share_out(
                network, int(network.circuit_node[number])) else better,
            fields=(circuit_path(results, number, "relay.contact"), circuit_path(results, number, "load.0.inrush")))


def made_by_contacts(results: Results) -> LimitRows:
    """What the loads of each circuit with a relay draw at switch-on by what the plan says of them, against what its
    contact may make."""
    return _rows(results, usual=False)


def with_usual_surge(results: Results) -> LimitRows:
    """The same with the usual multiple of their kind where the plan gives none: what fails by it alone is measured."""
    return _rows(results, usual=True)


def _rows(results: Results, *, usual: bool) -> LimitRows:
    found, known = results.fitted_contacts, current_known(results)
    parts, make_a = np.array(list(found), dtype=np.int64), np.array([each.contact.make_a for each in found.values()])
    judged = known[parts] & ~np.isnan(make_a)
    parts = parts[judged]
    return rows_of(lambda: [circuit_subject(results, number) for number in parts.tolist()], parts, make_a[judged],
                   lambda figures: surges(results, parts, figures.demands, usual))


RULE = Rule(
    consequence="keeps_running",
    title="Inrush current too high for the relay",
    source="relay makers' datasheets; typical inrush currents: common practice, no source",
    caution="A contact that welds shut keeps the load running with the key off: pump, fan or lamp, until the "
            "battery is flat.",
    fix="a contact with a higher making current, or a relay for each load",
    example="fails: a 20 A motor that starts at 120 A on a 40 A contact; passes: one that starts at 75 A",
    find=find,
    ambient=True,
    limits=(made_by_contacts,),
)
