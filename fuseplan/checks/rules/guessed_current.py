"""The current of a load is a guess, so every verdict on its circuit is one too.

A load without `evidence` counts as a guess; its worst-case current is half as much again. A reading with a clamp meter
takes a minute and often allows a smaller fuse.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, current_known, load_words
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    consumers = results.network.consumers
    known = current_known(results)[consumers.circuit[results.load_consumers]]
    weak: dict[int, list[int]] = {}
    for index in results.load_consumers[consumers.guessed[results.load_consumers] & known].tolist():
        weak.setdefault(int(consumers.circuit[index]), []).append(index)
    for number, indexes in weak.items():
        names = ", ".join(dict.fromkeys(load_words(results, index) for index in indexes))
        share = float(consumers.upper[indexes].max())
        yield rule.finding(
            results, circuit_subject(results, number),
            f"the current of {names} is a guess: it may be "
            f"{writing.burden(share, 'share')} higher", figure=share, unit="share",
            fields=tuple(circuit_path(results, number, f"load.{int(consumers.number[index])}.evidence")
                         for index in indexes))


RULE = Rule(
    consequence="not_judged",
    title="Guessed current",
    source="tolerances by how a current is known: common practice, no source",
    caution="Measure with a clamp meter or across the fuse; never crank through a meter's current socket.",
    fix="measure it or read the rating plate, and enter how it is known",
    example="fails: 3 A without saying how it is known; passes: 3 A from the rating plate",
    find=find,
)
