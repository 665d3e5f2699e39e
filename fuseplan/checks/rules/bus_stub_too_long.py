"""A stub off a data bus is longer than a published limit.

The signal is reflected at the end of a stub. The published limits disagree; all that hold are shown.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.plan.nets import GONE, pins_of
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing
from fuseplan.tables.contacts import stub_limits


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for at, _, pin in pins_of(results.plan):
        if pin.stub is None or pin.fate in GONE:
            continue
        added = pin.extension
        stub = float(pin.stub) + (0.0 if added is None else float(added.length) - float(added.cut_back or 0.0))
        limits = stub_limits(pin.bus_rate)
        beyond = [limit for limit in limits if exceeds(stub, limit.value)]
        if beyond:
            words = "; ".join(f"{'above' if limit in beyond else 'within'} {writing.stated(limit.value, 'm')}, "
                              f"{limit.words}" for limit in limits)
            rate = pin.bus_rate or "a bus of unknown rate"
            yield rule.finding(
                results, connector_subject(at), f"stub of {writing.burden(stub, 'm')} at "
                                                f"{pin_words(results.plan, at)} on {rate}: {words}",
                figure=stub, limit=beyond[-1].value, unit="m",
                consequence="fails_in_use" if len(beyond) == len(limits) else "good_practice",
                source="; ".join(limit.source.line() for limit in limits), fields=(pin_path(at, "stub"),))


RULE = Rule(
    consequence="fails_in_use",
    title="Data bus stub too long",
    source="SAE J1939-11 and ISO 11898 as quoted by makers of engine control units",
    caution="A bus that works in the garage fails warm, or with one more unit on it.",
    fix="bring the bus to the unit and back, so that the stub is no longer than the strictest limit; keep the pair "
        "twisted",
    example="fails: a stub of 1.2 m at 250 kbit/s; passes: 0.2 m",
    find=find,
)
