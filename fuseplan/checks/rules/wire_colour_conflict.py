"""One colour means earth on one wire and live on another.

Brown is earth in the German scheme and the battery feed in the British one; black is earth in the British scheme and
ignition in the German one. A loom made from an old one and a donor's has wires of one colour that must never touch;
among wires of one origin it is advice.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.engine.results import Results
from fuseplan.tables.colours import british_colour_purposes, colour_purposes, wire_colours


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    segments = results.network.segments
    live: dict[str, int] = {}
    earth: dict[str, int] = {}
    for index in segments.marked.get("colour", ()):
        colour = segments.segment[index].colour or ""
        (earth if segments.returns[index] else live).setdefault(colour.strip().upper(), index)
    for colour in [colour for colour in live if colour in earth]:
        out, back = live[colour], earth[colour]
        mixed = (segments.segment[out].origin or "new") != (segments.segment[back].origin or "new")
        conflict = colour in conflicting()
        words = wire_colours().get(colour, colour)
        schemes = f"; {conflicting()[colour]}" if conflict else ""
        yield rule.finding(
            results, segment_subject(results, out),
            f"{words} is live on {segment_words(results, out)} and earth on {segment_words(results, back)}{schemes}",
            consequence=None if conflict and mixed else "good_practice",
            source=None if conflict else "one colour, one meaning: common practice, no source",
            fields=(segment_path(results, out, "colour"), segment_path(results, back, "colour")))


@cache
def conflicting() -> dict[str, str]:
    """Colours that mean earth in one national scheme on file and something live in the other, and what they mean."""
    meanings: dict[str, list[tuple[str, str]]] = {}
    for scheme, printed in (("German", colour_purposes()), ("British", british_colour_purposes())):
        for row in printed.rows():
            meanings.setdefault(str(row["colour"]), []).append((scheme, str(row["purpose"])))
    found = {}
    for colour, pairs in meanings.items():
        is_earth = [purpose == "earth" for _, purpose in pairs]
        if any(is_earth) and not all(is_earth):
            found[colour] = ", ".join(f"{scheme} scheme: {purpose}" for scheme, purpose in pairs)
    return found


RULE = Rule(
    consequence="damages_a_part",
    title="Wire colour conflict",
    source="DIN 72551, from a hobby page; BS AU 7, from memory: check against the car's own diagram",
    caution="Somebody will join the two. Mark live wires at both ends, and measure before you join.",
    fix="another colour for one of the two, or a sleeve of another colour at both ends, and change the plan",
    example="fails: a live wire in brown beside a brown earth wire; passes: the live wire in red",
    find=find,
)
