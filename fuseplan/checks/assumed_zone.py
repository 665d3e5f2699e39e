"""Findings that rest on a temperature the plan does not give: they ask for the zone instead of failing for certain.

A part without a zone is checked at `ASSUMED_C`. What fails there and passes at `MILD_C` may be a fault of the car or
of the assumption: that is a question. What fails at `MILD_C` too fails wherever the part is, and is reported with the
figures of that temperature: at the assumed one a limit may be zero, which is true of no part that anybody has seen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from fuseplan.checks.named_once import with_one_size
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.engine.ambient import ASSUMED_C
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.plan.model import Battery, Plan, Zone
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import Amount

MILD_C = 20.0
"""Temperature in °C that every place in a car reaches; no zone planned for is cooler. Common practice, no source."""


def assumed_places(results: Results) -> frozenset[tuple[str, str]]:
    """Owners of a fuse holder, a relay or a length of wire whose temperature is assumed, as (kind, name); empty where
    the battery or its feed has a zone, as every part's way ends there."""
    network = results.network
    places = network.places
    if places.feed(places.feed_root).zone is not None:
        return frozenset()
    found = {row.owner for row in network.fuses if places.holder(row.owner, row.fuse).zone is None}
    found |= set(relays_without_zone(results))
    found |= {network.segments.owner[index] for index in network.segments.marked.get("assumed_place", ())}
    return frozenset(found)


def relays_without_zone(results: Results) -> list[tuple[str, str]]:
    """Owners of the relays whose place has no zone, circuits first."""
    network = results.network
    owners = [("circuit", network.circuit_ids[number]) for number in network.marked.get("relay", ())]
    owners += [("feed", name) for name, feed in results.plan.feed.items() if feed.relay is not None]
    return [owner for owner in owners if network.places.relay(owner).zone is None]


def zone_fields(results: Results) -> tuple[str, ...]:
    """Paths in the plan of the zone that settles the temperature of every part without one."""
    plan, root = results.plan, results.network.places.feed_root
    return (*((f"feed.{root}.zone",) if root else ()), *(("battery.zone",) if plan.battery is not None else ()))


def asking_for_zones(results: Results, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings: those that pass at `MILD_C` turned into requests for the zone of their parts, those that do not
    with their figures at that temperature."""
    rules = all_rules()
    resting = [each for each in findings
               if rules[each.check].ambient and not each.measure and each.level != "advice"]
    if not resting or not assumed_places(results):
        return findings
    mild = compute(_stated(results.plan, results.network.places.feed_root), results.limit_set)
    found = tuple(each for name in dict.fromkeys(each.check for each in resting)
                  for each in rules[name].find(rules[name], mild) if isinstance(each, Finding) and not each.measure)
    with_sizes = with_one_size(mild, found, found, None)
    named = {id(each): other for each, other in zip(found, with_sizes, strict=True)}
    same = twins(resting, found)
    answers = {id(each): _question(results, each) if twin is None else _certain(results, each, twin, named[id(twin)])
               for each in resting for twin in (same.get(id(each)),)}
    return tuple(sorted((answers.get(id(each), each) for each in findings), key=lambda each: each.measure))


def _places(finding: Finding) -> frozenset[str]:
    return frozenset(path.rpartition(".")[0] for path in finding.fields)


_SAME: tuple[Callable[[Finding], object], ...] = (
    lambda each: each.message, lambda each: each.fields, _places, lambda each: each.fields[:1], lambda each: None)
"""What two findings of one check on one subject have in common that are the same fault, the surest first: the figures
of one wire of a circuit must not stand for those of another."""


def twins(resting: Sequence[Finding], certain: Sequence[Finding]) -> dict[int, Finding]:
    """For each finding, by its identity, the one of the other judgement (`certain`) that is the same fault; each of
    those is taken once."""
    found: dict[int, Finding] = {}
    left = list(certain)
    for same in _SAME:
        waiting: dict[object, list[Finding]] = {}
        for each in resting:
            if id(each) not in found:
                waiting.setdefault(_key(each, same), []).append(each)
        unmatched = []
        for each in left:
            asked = waiting.get(_key(each, same))
            if asked:
                found[id(asked.pop(0))] = each
            else:
                unmatched.append(each)
        left = unmatched
    return found


def _key(finding: Finding, same: Callable[[Finding], object]) -> tuple[object, ...]:
    return finding.check, finding.subject_kind, finding.subject, same(finding)


def _stated(plan: Plan, root: str) -> Plan:
    """The plan with a zone of `MILD_C` for the feed at its root, and so for every part without one."""
    name = next(free for free in ("mild", *(f"mild_{number}" for number in range(len(plan.zone) + 1)))
                if free not in plan.zone)
    zone = Zone(ambient=Amount(MILD_C, f"{writing.typed(MILD_C)} degC"))
    zones = {**plan.zone, name: zone}
    if root:
        feed = plan.feed[root].model_copy(update={"zone": name})
        return plan.model_copy(update={"zone": zones, "feed": {**plan.feed, root: feed}})
    battery = (plan.battery or Battery()).model_copy(update={"zone": name})
    return plan.model_copy(update={"zone": zones, "battery": battery})


def _certain(results: Results, finding: Finding, twin: Finding, mild: Finding) -> Finding:
    """A finding with its figures at `MILD_C`, or with the sizes named there; as it is where neither depends on the
    temperature. `twin` is the same at that temperature, by its check alone, `mild` with what others ask for."""
    is_same = twin.message == finding.message
    if is_same and twin.sizes == finding.sizes:
        return finding
    fields = zone_fields(results)
    at_mild = "" if is_same else f"; that is at {writing.stated(MILD_C, '°C')}, no zone is stated"
    return replace(
        mild, message=f"{mild.message}{at_mild}",
        fix=f"{mild.fix}; and {_state_zone(fields)}: a hotter place asks for more",
        fields=tuple(dict.fromkeys((*mild.fields, *fields))), values=mild.values if is_same else ())


def _state_zone(fields: tuple[str, ...]) -> str:
    return f"state the zone{f' ({fields[0]})' if fields else ''}"


def _question(results: Results, finding: Finding) -> Finding:
    """The same finding as a request for the zone."""
    fields = zone_fields(results)
    assumed, mild = writing.stated(ASSUMED_C, "°C"), writing.stated(MILD_C, "°C")
    return replace(
        finding, level="advice", measure=True,
        message=f"No zone is stated, and only at the assumed {assumed} does this fail, not at {mild}: "
                f"{finding.message}",
        fix=f"{_state_zone(fields)}; if it is that hot: {finding.fix}",
        fields=tuple(dict.fromkeys((*fields, *finding.fields))), values=(), sizes=())
