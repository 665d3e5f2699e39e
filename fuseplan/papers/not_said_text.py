"""What the plan does not say, as plain text: on the first page alike questions in one line, in full each with why it
matters and the key that says it."""

from __future__ import annotations

from collections.abc import Iterable

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.whole_car import KIND
from fuseplan.grouping import grouped
from fuseplan.papers.findings import short_name, subject_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.page_room import first_within
from fuseplan.papers.paragraphs import Paint, heading_lines, paragraph, unpainted
from fuseplan.papers.short_names import short_names
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

HEADING = "Not said"
SAY_FIRST = "Enter first: without it the car as a whole is not judged"
MOST = 3
"""Questions the first page shows."""
NAMED = 3
TOGETHER = {
    "role": "role of {count}: what each is for; confirm what its name says",
    "switch_rating": "rating of the switch of {count}, and the resistive rating it needs",
    "coil_wire": "coil wires of the relay of {count}",
    "clearing": "multiple of its rating at which the fuse of {count} blows within 5 s, from its maker's sheet "
                "(blows_at)",
    "terminal": "terminal in the connector of {count}",
}
"""Kinds of question that are one line on the first page, however many parts are asked."""


def say_first(assessment: Assessment) -> tuple[NotSaid, ...]:
    """What the plan must say before the car as a whole can be judged."""
    return tuple(each for each in assessment.not_said if each.kind == KIND)


def say_first_page(assessment: Assessment, room: int, paint: Paint, short: bool, most: int) -> list[str]:
    """The same for the first page, a line for each part with the keys that say it, or, in short and where there is no
    room for that, the keys alone; empty where all of it is said."""
    asked = grouped((short_name(each, assessment), each) for each in say_first(assessment))
    if not asked:
        return []
    lines = heading_lines(f"{SAY_FIRST} ({sum(map(len, asked.values()))})", room, paint)
    for name, members in asked.items():
        words = "; ".join(f"{each.what} ({each.key})" for each in members)
        lines += paragraph(f"{name}: {shown(words)}", room, "  ? ", "      ")
    keys = ", ".join(each.key for members in asked.values() for each in members)
    brief = paragraph(f"{SAY_FIRST.partition(':')[0]}: {keys}", room, "", "  ")
    return first_within([brief] if short else [lines, brief], most)


def not_said_page(assessment: Assessment, room: int, paint: Paint, most: int) -> list[str]:
    """The other questions for the first page: those safety rests on, a line each, alike ones together, how many are not
    listed, and how many others there are; counted alone where there is no room for one; empty where all is said."""
    found = [each for each in assessment.not_said if each.kind != KIND]
    if not found:
        return []
    serious = [each for each in found if each.safety]
    same = asked_once(serious, assessment)
    texts = [text for text, _ in same]
    head = f"{HEADING} ({len(serious) or 'nothing'} that safety rests on)"
    others = len(found) - len(serious)
    asked = f"{writing.how_many(others, 'question')} that safety does not rest on"
    forms = [[*heading_lines(head, room, paint),
              *(line for text in texts[:listed] for line in paragraph(text, room, "  ? ", "      ")),
              *([f"  … and {sum(len(members) for _, members in same[listed:])} more: --full"] if same[listed:] else []),
              *(paragraph(f"{asked}: --full", room, "  · ", "      ") if others else [])]
             for listed in range(min(MOST, len(texts)), min(1, len(texts)) - 1, -1)]
    brief = f"{head}; {asked}: --full" if others else f"{head}: --full"
    return first_within([*forms, ["", *paragraph(brief, room, "", "  ")]], most)


def asked_once(found: list[NotSaid], assessment: Assessment) -> list[tuple[str, list[NotSaid]]]:
    """Questions in a line each, those that go together or read alike in one, with what each line asks."""
    same = grouped((_line(each, found, assessment), each) for each in found)
    return [(text if len(members) == 1 or members[0].kind in TOGETHER else f"{text} ({len(members)} times)", members)
            for text, members in same.items()]


def _line(each: NotSaid, found: list[NotSaid], assessment: Assessment) -> str:
    """A question in one line, with all alike ones where they go together."""
    if each.kind not in TOGETHER:
        return f"{short_name(each, assessment)}: {short_names(shown(each.what), assessment)}"
    alike = [other for other in found if other.kind == each.kind]
    words = TOGETHER[each.kind].format(count=writing.counted(len(alike), "part"))
    named = first_few(alike, NAMED, lambda other: f"{short_name(other, assessment)} {shown(other.detail)}".rstrip())
    return f"{words}: {named}"


def not_said_lines(found: Iterable[NotSaid], assessment: Assessment, room: int, paint: Paint = unpainted) -> list[str]:
    """All questions, each with its parts and where it is answered; a reason stands with the first it is of."""
    groups = grouped(((each.what, each.why_it_matters, each.safety), each) for each in found)
    lines: list[str] = []
    explained: set[str] = set()
    for (what, why, safety), members in groups.items():
        names = ", ".join(_named(each, assessment) for each in members)
        reason = "" if why in explained else f"{shown(why)}. "
        explained.add(why)
        lines += paragraph(f"{names}: {shown(what)}", room, "  ? " if safety else "  · ", "    ")
        lines += paragraph(f"{reason}To say it: {', '.join(shown(each.key) for each in members)}", room, "    ")
    return [paint(f"{HEADING}: safety rests on those marked ?", "heading"), *lines] if lines else []


def _named(each: NotSaid, assessment: Assessment) -> str:
    """Who is asked, with what is known of the answer where the question does not say it already."""
    words = subject_words(each, assessment)
    return words if not each.detail or each.detail in each.what else f"{words} [{shown(each.detail)}]"
