"""Findings that rest on resistances the plan does not give: they ask for a reading instead of failing for certain."""

from __future__ import annotations

from dataclasses import replace

from fuseplan.checks.assumed_supply import Assumption
from fuseplan.checks.assumptions import assumptions
from fuseplan.checks.finding_way import way_of
from fuseplan.checks.loads_not_entered import asks_for_loads
from fuseplan.checks.rule import MEASURE_WORDS, Finding, all_rules
from fuseplan.checks.subjects import owner_words
from fuseplan.engine.results import Results
from fuseplan.engine.without_assumed import without_assumed
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of

NAMED = 2
"""So many assumptions are named, the largest resistances first."""
_FIRST = "measure and enter the resistance assumed at "
Key = tuple[str, str, str, float | None, str, str]


def settled(results: Results, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, those that are not found without assumed resistances turned into requests for a reading of them; so
    are drops and low voltages that only the worst case brings about, which ask for one of the current."""
    rules = all_rules()
    resting = [each for each in findings if rules[each.check].resistance and (
        _is_of_worst_case(each) if each.measure else each.level != "advice")]
    if not resting:
        return findings
    bare = without_assumed(results)
    still = {(_key(each), measure) for name in dict.fromkeys(each.check for each in resting)
             for each in rules[name].find(rules[name], bare) if isinstance(each, Finding)
             for measure in {each.measure, True}}
    only = {id(each) for each in resting if (_key(each), each.measure) not in still}
    taken = [each for each in assumptions(results) if each.unit == "ohm" and not each.key.endswith(".coil")] \
        if only else []
    if not taken:
        return findings
    changed = [_reading(results, each, taken) if id(each) in only else each for each in findings]
    return tuple(sorted(changed, key=lambda each: each.measure))


def is_read_first(finding: Finding) -> bool:
    """Whether a finding asks for a reading of what was assumed before anything is fitted for it."""
    return finding.fix.startswith(_FIRST)


def _is_of_worst_case(finding: Finding) -> bool:
    return finding.unit == "V" and finding.message.startswith(MEASURE_WORDS) and not asks_for_loads(finding)


def _key(finding: Finding) -> Key:
    return (finding.check, finding.subject_kind, finding.subject, finding.limit, finding.unit, finding.source)


def _reading(results: Results, finding: Finding, taken: list[Assumption]) -> Finding:
    """The same finding as a request for a reading of what was assumed on the way of its subject."""
    owners = set(way_of(results, finding))
    named = sorted((each for each in taken if each.owner in owners),
                   key=lambda each: -each.value)[:NAMED] or sorted(taken, key=lambda each: -each.value)[:NAMED]
    words = " and ".join(f"{owner_words(results, each.owner)}, {each.what} "
                          f"({writing.burden(each.value, 'ohm')})" for each in named)
    # That of a fuse is of a maker's list, and nobody measures it; and what is stated as bad is mended in any case.
    is_mend = any(each.endswith("resistance") for each in finding.fields[:1])
    at = [] if is_mend else [owner_words(results, each.owner) for each in named if not each.key.endswith(".fuse")]
    if finding.measure and not at:
        return finding
    keys = tuple(each.key for each in named)
    message = finding.message.removeprefix(MEASURE_WORDS)
    fails = "Passes with the current entered; with its worst case it fails only" if finding.measure else "Fails only"
    return replace(
        finding, level="advice", measure=True,
        message=f"{fails} with resistances that are assumed; measure and enter them: {words}. "
                f"{message[:1].upper()}{message[1:]}",
        fix=f"{_FIRST}{all_of(list(dict.fromkeys(at)))}; if it still fails: {finding.fix}" if at else finding.fix,
        fields=tuple(dict.fromkeys((*finding.fields, *keys) if is_mend else (*keys, *finding.fields))))
