"""A petrol pump keeps running with the key on when the engine has stopped.

After a crash, or with a float valve that sticks, it pumps petrol on as long as the key is on. The control unit, an
oil-pressure switch, or a relay that holds only while ignition pulses come or the alternator charges, stops it with the
engine. A crash switch acts in a crash alone: it belongs beside one of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.cut_offs import HELD, driven_by_unit, off_the_wire, past_relays, past_the_unit, to_be_cut_off
from fuseplan.checks.fix import Fix
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, owner_words, proposed_words
from fuseplan.engine.results import Results
from fuseplan.plan.words import STOPS_WITH_ENGINE


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    for number in to_be_cut_off(results):
        circuit, name = network.circuits[number], network.circuit_ids[number]
        if circuit.cut_off is None:
            continue
        false = "ecu" in circuit.cut_off and not driven_by_unit(results, number)
        feeds = past_the_unit(results, number) if false else past_relays(results, number)
        past = " and ".join(owner_words(results, ("feed", each)) for each in feeds)
        feed_it = "feeds it" if len(feeds) == 1 else "feed it"
        idle = {*(("ecu",) if false else ()),
                *(HELD.intersection(circuit.cut_off) if past_relays(results, number) else ())}
        # A list that holds none beside others is taken at its word none.
        if "none" not in circuit.cut_off and any(
                each in STOPS_WITH_ENGINE and each not in idle for each in circuit.cut_off):
            continue
        message = "with the key on and the engine still nothing stops it"
        if idle and not false:
            message = f"{past} {feed_it} past the relay that is stated to stop it"
        elif false:
            message = "the control unit is stated to stop it, but " + (
                f"{past} {feed_it} all the same" if past else
                "drives no relay before it that can open with the key on")
        elif "inertia" in circuit.cut_off:
            message += ": an inertia switch acts in a crash alone"
        fix = off_the_wire(results, number, past) if idle and past else \
            Fix(rule.fix, (circuit_path(results, number, "cut_off"), circuit_path(results, number, "relay.driver")))
        yield rule.finding(results, circuit_subject(results, number), f"{message}{proposed_words(name, circuit)}",
                           fix=fix)


RULE = Rule(
    consequence="keeps_running",
    title="No fuel cut-off",
    source="the pump must stop with the engine, by control unit, oil pressure or crash switch: a racing club's "
           "scrutineering note; crash switch, 6 to 11 g, that must be reset by hand: Formula SAE Rules 2014, EV5.7",
    caution="Try it: with the key on and the engine stopped the pump must fall silent within two seconds. Petrol on a "
            "hot exhaust burns at once.",
    fix="a relay for the pump that the control unit drives, a tachometric relay, an oil-pressure switch or one held by "
        "the alternator's lamp terminal",
    example="fails: a petrol pump on the ignition bus with `cut_off = [\"inertia\"]`; passes: `cut_off = "
            "[\"tachometric_relay\", \"inertia\"]`",
    find=find,
)
