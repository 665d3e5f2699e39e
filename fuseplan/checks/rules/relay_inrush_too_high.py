"""The inrush current is more than the relay contact may make.

A cold filament draws about ten times its running current, a standing motor about five times. The contact can weld in
that moment. Where the plan gives no surge, the usual multiple for lamps and motors is taken, and the finding asks for a
measurement.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.contacts import contact_for_circuit, surges
from fuseplan.checks.cut_offs import keeping_it_running
from fuseplan.checks.limit import over_limit
from fuseplan.checks.rule import MEASURE_WORDS, USUAL_WORDS, Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, current_known
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.relays import contact_in_place
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    wanted = np.zeros(len(network.circuits), dtype=bool)
    wanted[network.marked.get("relay", [])] = True
    wanted &= current_known(results)
    if not wanted.any():
        return
    limit, found = np.full(len(network.circuits), np.nan), {}
    for number in network.marked["relay"]:
        relay = network.circuits[number].relay
        if relay is not None:
            found[number] = contact_in_place(network, ("circuit", network.circuit_ids[number]), relay)
            limit[number] = found[number].contact.make_a
    running = keeping_it_running(results)
    surge, assumed = surges(results, wanted)
    certain = exceeds(surges(results, wanted, usual=False)[0][0], limit)
    for number, bound in over_limit(surge, limit, ~np.isnan(limit)).fails:
        (entry, _), current, most = found[number], float(surge[bound, number]), float(limit[number])
        usual = bool(assumed[number]) and not certain[number]
        name = contact_for_circuit(results, number, network.circuits[number].relay, bound)
        better = network.stock.relay_words(name) if name else "a contact with a higher making current"
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{USUAL_WORDS if usual else MEASURE_WORDS if bound else ''}{writing.burden(current, 'A')} at switch-on; "
            f"the contact is rated to make {writing.limit(most, 'A')}",
            figure=current, limit=most, unit="A", measure=usual or bool(bound), source=entry.source,
            consequence=None if number in running else "damages_a_part",
            fix=f"a relay for each load, started one after the other, or {better}",
            fields=(circuit_path(results, number, "relay.contact"), circuit_path(results, number, "load.0.inrush")))


RULE = Rule(
    consequence="keeps_running",
    title="Inrush current too high for the relay",
    source="relay makers' datasheets; typical inrush currents: common practice, no source",
    caution="A contact that welds shut keeps the load running with the key off: pump, fan or lamp, until the "
            "battery is flat.",
    fix="a relay for each load",
    example="fails: a 20 A motor that starts at 120 A on a 40 A contact; passes: one that starts at 75 A",
    find=find,
    ambient=True,
)
