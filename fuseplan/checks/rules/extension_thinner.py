"""A wire is lengthened with one that is thinner than it, or much thicker.

The fuse protects the wire as found. A thinner one behind the splice is not protected by it; one that is much thicker
is not gripped by the splice and the contact.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.pins import area_mm2, connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.results import Results
from fuseplan.plan.nets import pins_of
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing

LARGER = 1.7
"""Next size up at most: of two neighbouring sizes sold the larger has at most 1.7 times the area (0.5 to 0.75, 1 to
1.5, 1.5 to 2.5, 2.5 to 4 mm², one AWG step of even numbers 1.6)."""


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    for at, _, pin in pins_of(results.plan):
        if pin.extension is None or pin.extension.size is None:
            continue
        found, added = area_mm2(pin.size), area_mm2(pin.extension.size)
        if math.isnan(found) or math.isnan(added):
            yield rule.unjudged(connector_subject(at), f"whether the wire added at {pin_words(results.plan, at)} is "
                                                       "thick enough: the size as found is not entered")
        elif added < found * (1.0 - 1e-3):
            yield rule.finding(
                results, connector_subject(at), f"{writing.wire_size(pin.extension.size)} is added to "
                                                f"{writing.wire_size(pin.size)} at {pin_words(results.plan, at)}",
                figure=added, limit=found, unit="mm²", figure_side="limit", fields=(pin_path(at, "extension.size"),))
        elif added > found * LARGER:
            yield rule.finding(
                results, connector_subject(at), f"{writing.wire_size(pin.extension.size)} is added to "
                                                f"{writing.wire_size(pin.size)} at {pin_words(results.plan, at)}, "
                f"{writing.burden(added / found, '-')} times the area; the next size up is enough",
                figure=added / found, limit=LARGER, unit="-", consequence="good_practice",
                fields=(pin_path(at, "extension.size"),))


RULE = Rule(
    consequence="burns",
    title="Added wire of another size",
    source="the same or the next larger size: common practice, no source; a thinner wire behind the same fuse needs a "
           "fuse of its own: every set of limits",
    caution="The fuse that suits the old wire lets the new one burn.",
    fix="the size of the wire as found, or the next one up",
    example="fails: 0.5 mm² added to 1 mm²; passes: 1 mm²",
    find=find,
)
