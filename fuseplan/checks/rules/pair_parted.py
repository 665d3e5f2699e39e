"""One wire of a twisted pair, or a signal and its shield, goes another way than its partner.

A pair is kept together to the splice and behind it: moved, made longer and cut together.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, PinId, pins_of
from fuseplan.plan.part_names import in_words, pin_words
from fuseplan.quantities import writing

LIKE, ALIKE_M = 0.05, 0.01
"""Added lengths of a pair are alike within this share, or 10 mm; common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for at, connector, pin in pins_of(results.plan):
        if pin.twisted_with is None:
            continue
        partner = PinId(at.connector, pin.twisted_with)
        other = connector.pin[pin.twisted_with]
        if other.twisted_with == at.pin and partner < at:
            continue
        words = _parted(results.plan, at, pin, partner, other)
        if words:
            yield rule.finding(results, connector_subject(at), words, fields=(pin_path(at, "twisted_with"),))


def _parted(plan: Plan, at: PinId, pin: Pin, partner: PinId, other: Pin) -> str:
    names = f"{pin_words(plan, at)} and {pin_words(plan, partner)} are a pair"
    if (pin.fate in GONE) != (other.fate in GONE):
        return f"{names}, but only one of them is cut off or spare"
    ends = [each.other_end.connector if each.other_end is not None else None for each in (pin, other)]
    if ends[0] is not None and ends[1] is not None and ends[0] != ends[1]:
        return f"{names}, but go to {in_words(plan, 'connector', ends[0])} and {in_words(plan, 'connector', ends[1])}"
    added = [each.extension for each in (pin, other)]
    if (added[0] is None) != (added[1] is None):
        return f"{names}, but only one of them is made longer"
    if added[0] is not None and added[1] is not None:
        one, two = (float(each.length) - float(each.cut_back or 0.0) for each in added if each is not None)
        if abs(one - two) > max(LIKE * max(one, two), ALIKE_M):
            return f"{names}, but {writing.stated(one, 'm')} and {writing.stated(two, 'm')} are added to them"
    return ""


RULE = Rule(
    consequence="fails_in_use",
    title="Twisted pair parted",
    source="signal wire and its return together to the splice and behind it: an engine control maker's wiring rule",
    caution="A pair that is parted picks up what it was twisted against.",
    fix="take both wires the same way, with splices of the same length and the twist kept up to each of them",
    example="fails: one wire of a pair made longer; passes: both",
    find=find,
)
