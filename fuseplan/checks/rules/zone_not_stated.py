"""A part's zone is not stated, so it is checked at an assumed temperature.

Fuses, relay contacts and wires carry less in a hot place. A part without a zone of its own takes that of the feed it
sits on, up to the battery; where there is none on the whole way, the temperature is an assumption.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.assumed_zone import assumed_places, relays_without_zone, zone_fields
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.ambient import ASSUMED_C
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network = results.network
    places, plan = network.places, results.plan
    assumed = assumed_places(results)
    if not assumed:
        return
    fuses = sum(places.holder(row.owner, row.fuse).zone is None for row in network.fuses)
    relays = len(relays_without_zone(results))
    wires = len(network.segments.marked.get("assumed_place", ()))
    counted = [f"{count} {one if count == 1 else many}" for count, one, many in (
        (fuses, "fuse", "fuses"), (relays, "relay", "relays"), (wires, "length of wire", "lengths of wire")) if count]
    root = places.feed_root
    yield rule.finding(
        results, ("feed", root) if root else ("plan", "plan"),
        f"no zone is stated for {in_words(plan, 'feed', root) if root else 'any feed'} or for the battery: "
        f"{all_of(counted)} without a zone "
        f"{'is' if fuses + relays + wires == 1 else 'are'} checked at an assumed {writing.stated(ASSUMED_C, '°C')}",
        figure=ASSUMED_C, unit="°C",
        fields=zone_fields(results))
    for name, circuit in plan.circuit.items():
        if ("circuit", name) in assumed and circuit.out_of_scope is None:
            yield rule.unjudged(("circuit", name), "temperature where its fuse, relay and wires are: no zone is stated")


RULE = Rule(
    consequence="hides_a_fault",
    title="Zone not stated",
    source=f"{writing.stated(ASSUMED_C, '°C')} where no zone is stated, as under a bonnet: common practice, no source",
    caution="Beside an exhaust or a turbocharger it is hotter: measure it on a hot day.",
    fix="state the zone of the battery post, and of each feed that is somewhere else",
    example="fails: neither the battery post nor the fuse has a zone; passes: the battery post has one",
    find=find,
)
