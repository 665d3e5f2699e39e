"""Findings that rest on resistances the plan does not give: they ask for a reading instead of failing for certain."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from fuseplan.checks.assumptions import Assumption, assumptions
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.checks.subjects import owner_words
from fuseplan.engine.results import Results
from fuseplan.engine.without_assumed import without_assumed
from fuseplan.plan.feed_way import way_back, way_to
from fuseplan.quantities import writing

NAMED = 2
"""So many assumptions are named, the largest resistances first."""
Key = tuple[str, str, str, float | None, str, str]


def settled(results: Results, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, those that are not found without assumed resistances turned into requests for a reading."""
    rules = all_rules()
    resting = [each for each in findings if rules[each.check].resistance and not each.measure
               and each.level != "advice"]
    if not resting:
        return findings
    bare = without_assumed(results)
    certain = {_key(each) for name in dict.fromkeys(each.check for each in resting)
               for each in rules[name].find(rules[name], bare) if isinstance(each, Finding) and not each.measure}
    only = {id(each) for each in resting if _key(each) not in certain}
    taken = [each for each in assumptions(results) if each.unit == "ohm" and not each.key.endswith(".coil")] \
        if only else []
    if not taken:
        return findings
    changed = [_reading(results, each, taken) if id(each) in only else each for each in findings]
    return tuple(sorted(changed, key=lambda each: each.measure))


def _key(finding: Finding) -> Key:
    return (finding.check, finding.subject_kind, finding.subject, finding.limit, finding.unit, finding.source)


def _reading(results: Results, finding: Finding, taken: list[Assumption]) -> Finding:
    """The same finding as a request for a reading of what was assumed on the way of its subject."""
    owners = set(_way(results, finding))
    named = sorted((each for each in taken if each.owner in owners),
                   key=lambda each: -each.value)[:NAMED] or sorted(taken, key=lambda each: -each.value)[:NAMED]
    words = " and ".join(f"{owner_words(results, each.owner)}, {each.what} "
                          f"({writing.burden(each.value, 'ohm')})" for each in named)
    return replace(
        finding, level="advice", measure=True,
        message=f"Fails only with resistances that are assumed; measure and enter them: {words}. "
                f"{finding.message[:1].upper()}{finding.message[1:]}",
        fields=tuple(dict.fromkeys((*(each.key for each in named), *finding.fields))))


def _way(results: Results, finding: Finding) -> Iterator[tuple[str, str]]:
    """Owners of what lies on the way of a finding's subject: itself, its feeds, its earths, the battery; of the battery
    or an earth, which are judged while cranking, the starter's."""
    plan, network, kind, subject = results.plan, results.network, finding.subject_kind, finding.subject
    yield kind, subject
    yield "battery", "battery"
    circuits = [subject] if kind == "circuit" else \
        [network.circuit_ids[number] for number in network.marked.get("role starter", ())] \
        if kind in ("battery", "earth") else []
    feeds: list[str | None] = [subject] if kind == "feed" else []
    earths: list[str | None] = [subject] if kind == "earth" else []
    for circuit in circuits:
        yield "circuit", circuit
        feeds.append(plan.circuit[circuit].feed)
        earths += [plan.circuit[circuit].earth, *(load.earth for load in plan.circuit[circuit].load)]
    if kind in ("alternator", "plan") and plan.alternator is not None:
        feeds, earths = [plan.alternator.feed], [plan.alternator.earth]
        yield "alternator", "alternator"
    for name in feeds:
        yield from (("feed", each) for each in way_to(plan, name))
    for name in earths:
        yield from (("earth", each) for each in way_back(plan, name))
