"""The pair of a data bus is not twisted, or twisted too little.

Twisting makes what is induced in the two wires alike, so that it cancels.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.results import Results
from fuseplan.plan.nets import GONE, pins_of
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing
from fuseplan.tables.contacts import twist_limits

_BUS = ("bus_high", "bus_low")


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for at, connector, pin in pins_of(results.plan):
        if pin.signal not in _BUS or pin.fate in GONE:
            continue
        if pin.twisted_with is None:
            back = any(each.twisted_with == at.pin for each in connector.pin.values())
            if not back:
                yield rule.finding(results, connector_subject(at), f"data bus wire {pin_words(results.plan, at)} is "
                                                                   "twisted with no other",
                                   fields=(pin_path(at, "twisted_with"),))
            continue
        stated = [(each, key) for each, key in (
            (pin.twists, "twists"), (pin.extension.twists if pin.extension is not None else None, "extension.twists"))
            if each is not None]
        limits = twist_limits()
        for twists, key in stated:
            below = [limit for limit in limits if falls_short(twists, limit.value)]
            if below:
                words = "; ".join(f"{'below' if limit in below else 'within'} {writing.stated(limit.value, '-')} per "
                                  f"metre ({limit.words})" for limit in limits)
                yield rule.finding(
                    results, connector_subject(at), f"{writing.stated(twists, '-')} twists per metre at "
                                                    f"{pin_words(results.plan, at)}: "
                    f"{words}", figure=twists, limit=below[0].value, unit="1/m", figure_side="limit",
                    consequence="fails_in_use" if len(below) == len(limits) else "good_practice",
                    source="; ".join(limit.source.line() for limit in limits), fields=(pin_path(at, key),))


RULE = Rule(
    consequence="fails_in_use",
    title="Data bus pair untwisted",
    source="wiring manuals of two engine control makers",
    caution="Ignition noise gets on to the bus, and units drop out at high engine speed.",
    fix="twist the pair at least 25 times per metre up to the connector, the added wires too",
    example="fails: 18 twists per metre; passes: 30",
    find=find,
)
