"""Two wires have the same label or the same wire number.

Nobody can tell two wires with the same label apart, least of all whoever opens the loom in ten years. The segments of
one wire share their label and their number.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for key, words in (("label", "label"), ("number", "wire number")):
        yield from _shared(rule, results, key, words)


def _shared(rule: Rule, results: Results, key: str, words: str) -> Iterator[Finding]:
    """Wires with the same text under a key."""
    segments = results.network.segments
    found: dict[str, dict[tuple[tuple[str, str], str], int]] = defaultdict(dict)
    for index in segments.marked.get(key, ()):
        text = str(getattr(segments.segment[index], key))
        wire = segments.place[index].rpartition(".")[0]
        found[text.strip().casefold()].setdefault((segments.owner[index], wire), index)
    for wires in found.values():
        indexes = list(wires.values())
        if len(indexes) > 1:
            yield rule.finding(
                results, segment_subject(results, indexes[1]),
                f"{words} '{getattr(segments.segment[indexes[0]], key)}' is on "
                f"{' and '.join(segment_words(results, index) for index in indexes)}",
                fields=tuple(segment_path(results, index, key) for index in reversed(indexes)))


RULE = Rule(
    consequence="good_practice",
    title="Duplicate wire label",
    source="common practice, no source",
    caution="A wire mistaken for another ends up on the wrong fuse.",
    fix="another label for one of them",
    example="fails: two circuits with wire label L1; passes: L1 and L2",
    find=find,
)
