"""Findings that rest on circuits without loads: they ask for those loads, not for a reading or a change of other parts.

What shares a feed or an earth point with such a circuit is checked as if it drew all that the fuse before it carries
(`Consumers.most_a`). What passes without that is one cause, told once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fuseplan.checks.assumed_zone import twins
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.engine.computing import compute
from fuseplan.engine.consumers import UNSTATED
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing

NAMED = 2
"""So many circuits are named in a fix."""
_DEPENDS = "without them each counts with all that the fuse before it carries, and this result depends on it"


def asking_for_loads(results: Results, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, those of the worst-case currents that do not stand without circuits of which no load is entered
    turned into requests for their loads."""
    silent = without_loads(results)
    asking = [each for each in findings if each.measure] if silent else []
    if not asking:
        return findings
    plan, rules = results.plan, all_rules()
    unfed = {name: plan.circuit[name].model_copy(update={"feed": None, "also_from": (), "wire": ()})
             for name in silent}
    bare = replace(compute(plan.model_copy(update={"circuit": {**plan.circuit, **unfed}}), results.limit_set),
                   fixes_wanted=False)
    left = twins(asking, [each for check in dict.fromkeys(each.check for each in asking)
                          for each in rules[check].find(rules[check], bare)
                          if isinstance(each, Finding) and each.measure])
    resting = {id(each) for each in asking if id(each) not in left}
    return tuple(_for_loads(results, each, silent) if id(each) in resting else each for each in findings)


def asks_for_loads(finding: Finding) -> bool:
    """Whether a finding asks for loads before anything else."""
    return finding.fix.endswith(_DEPENDS)


def without_loads(results: Results) -> dict[str, float]:
    """Circuits of which no load is entered, with what they count with at the worst-case currents [A]; not those that no
    fuse rating limits, which leave the others unknown, nor one out of scope that has a fuse of its own."""
    network, consumers = results.network, results.network.consumers
    found = {consumers.owner[number][1]: float(consumers.most_a[number])
             for number in np.flatnonzero(consumers.kind == UNSTATED).tolist() if number not in network.unbounded}
    return {name: most_a for name, most_a in found.items()
            if not results.plan.circuit[name].load and (
                results.plan.circuit[name].out_of_scope is None or results.plan.circuit[name].fuse is None)}


def _for_loads(results: Results, finding: Finding, silent: dict[str, float]) -> Finding:
    names = _before(results, finding, list(silent))
    # No load of a circuit out of scope is asked for: its fuse, as it stands, is what it may draw.
    asked = {name: ("loads", "load") if results.plan.circuit[name].out_of_scope is None else ("fuse", "fuse.rating")
             for name in names[:NAMED]}
    named = [f"the {words} of {in_words(results.plan, 'circuit', name)} ({writing.burden(silent[name], 'A')})"
             for name, (words, _) in asked.items()]
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return replace(
        finding, fix=f"enter {' and '.join(named) if not more else ', '.join(named)}{more}; {_DEPENDS}",
        fields=tuple(dict.fromkeys((*(f"circuit.{name}.{key}" for name, (_, key) in asked.items()),
                                    *finding.fields))),
        values=(), sizes=())


def _before(results: Results, finding: Finding, names: Sequence[str]) -> list[str]:
    """Those of some circuits that a feed hands out to, where a finding is about a feed; else all."""
    if finding.subject_kind != "feed":
        return list(names)
    circuits = results.plan.circuit
    return [name for name in names if finding.subject in way_to(results.plan, circuits[name].feed)] or list(names)
