"""Findings cured by another relay: its contact, or what quenches its coil."""

from __future__ import annotations

from fuseplan.advice.coil_feed import feed_of_coils
from fuseplan.advice.draft import OUT_OF_SCOPE
from fuseplan.advice.look import Look, subject_key
from fuseplan.checks.contacts import contact_for_feed, contact_to_fit, is_unprinted
from fuseplan.checks.rule import Finding
from fuseplan.checks.rules.live_when_off import feeds_that_stop, left_on
from fuseplan.plan.model import Circuit, Feed


def suppression(look: Look, finding: Finding) -> None:
    """A relay with a resistor across its coil, which quenches it whichever way round it is wired."""
    key, draft = subject_key(finding), look.draft
    part = look.results.plan.circuit.get(finding.subject) if key[0] == "circuit" else \
        look.results.plan.feed.get(finding.subject)
    path = (*key, "relay", "suppression")
    if part is None or part.relay is None or part.relay.suppression == "diode" or not draft.in_scope(path):
        draft.give_up_on(finding, "how its coil is wired", "no other relay fixes it")
        return
    draft.put(path, part.relay.suppression, "resistor", finding.check, finding.message)


def is_another_contact(look: Look, finding: Finding) -> bool:
    """Whether another relay contact is fitted for a surge that is too high at the worst-case current alone: no larger
    relay is, before that is measured."""
    relay = look.results.plan.circuit[finding.subject].relay
    found = contact_to_fit(look.results, look.assessment.circuit(finding.subject).index, relay)
    return found is not None and (relay is None or relay.contact != found)


NOT_ON_FILE = "no current on file for it where it is"
"""Why, in a few words, another relay contact is fitted where nothing is on file for the temperature of its place."""


def contact(look: Look, finding: Finding) -> None:
    """Another relay contact, or a relay where there was a switch alone."""
    results, draft = look.results, look.draft
    key = subject_key(finding)
    part: Circuit | Feed | None = results.plan.circuit[finding.subject] if key[0] == "circuit" else \
        results.plan.feed[finding.subject] if key[0] == "feed" else None
    if part is None or not draft.in_scope(key):
        draft.give_up_on(finding, OUT_OF_SCOPE, "its contact may not be changed here")
        return
    if key[0] == "circuit":
        number = look.assessment.circuit(finding.subject).index
        found = contact_to_fit(results, number, part.relay)
    else:
        found = contact_for_feed(results, finding.subject, 1) or contact_for_feed(results, finding.subject, 0)
    added = draft.changes.get((*key, "relay"))
    if found is None or (part.relay is not None and part.relay.contact == found):
        draft.give_up_on(finding, "the contacts on file", "no single contact on file is rated for it there")
    elif added is not None and not isinstance(added.new, str):
        draft.put((*key, "relay"), None, {**added.new, "contact": found}, added.check, added.why)
    elif part.relay is not None:
        draft.put((*key, "relay", "contact"), part.relay.contact, found, finding.check, finding.message,
                  brief=NOT_ON_FILE if is_unprinted(finding) else "")
    elif (source := part.feed if isinstance(part, Circuit) else part.upstream) is None:
        draft.give_up_on(finding, "a missing feed", "a relay's coil needs a feed, and none is named here")
    else:
        # A resistor quenches the coil whichever way round it is wired; a diode would not.
        feeds = _feeds_for_coil(look, finding, source)
        coils = feed_of_coils(draft, results, feeds, finding.check, finding.message)
        relay = {"contact": found, "coil_feed": coils, "driver": "switch", "suppression": "resistor"}
        draft.put((*key, "relay"), None, relay, finding.check, finding.message)


def _feeds_for_coil(look: Look, finding: Finding, source: str) -> list[str]:
    """Where the coil of a relay that is added may be fed from: what switches it off where the load's own feed leaves it
    live in a state in which it must stop, else that."""
    if subject_key(finding)[0] != "circuit":
        return [source]
    number = look.assessment.circuit(finding.subject).index
    return (left_on(look.results, number) and feeds_that_stop(look.results, number, on_relay=True)) or [source]
