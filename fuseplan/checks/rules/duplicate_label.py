"""A wire label must be given once.

Two wires with the same label are told apart by nobody, least of all by whoever opens the loom in ten years. The
stretches of one wire, one behind the other, share their label.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    segments = results.network.segments
    found: dict[str, dict[tuple[tuple[str, str], str], int]] = defaultdict(dict)
    for index in segments.marked.get("label", ()):
        label = segments.segment[index].label or ""
        wire = segments.place[index].rpartition(".")[0]
        found[label.strip().casefold()].setdefault((segments.owner[index], wire), index)
    for wires in found.values():
        indexes = list(wires.values())
        if len(indexes) > 1:
            yield rule.finding(
                results, segment_subject(results, indexes[1]),
                f"label '{segments.segment[indexes[0]].label}' is on "
                f"{' and '.join(segment_words(results, index) for index in indexes)}",
                fields=tuple(segment_path(results, index, "label") for index in reversed(indexes)))


RULE = Rule(
    level="advice",
    title="Duplicate wire label",
    source="common practice, no source",
    caution="A wire taken for another ends on the wrong fuse.",
    fix="another label for one of them",
    find=find,
)
