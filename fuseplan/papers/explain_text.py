"""What can be explained, as text: the overview, the figures of one part, what a word finds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from fuseplan.grouping import grouped
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.results.address import FigureSpot, Group, Spot, joined
from fuseplan.results.search import listing

MOST = 25
"""Lines that a search shows."""
_NAMES = 3
"""Lines of names that the overview gives to a kind of part."""


def overview_text(whole: Spot, room: int, paint: Paint = unpainted) -> str:
    """The kinds of parts with their ids, and how to go on."""
    groups = list(listing(whole))
    shown_groups = [each for each in groups if isinstance(each, Group)]
    lines = [paint("What can be explained", "heading")]
    for group in shown_groups:
        lines += _names_lines(group, room, f"{group.address} ({len(group.members)})  ")
    others = dict.fromkeys(joined(each.steps[:2]) for each in groups if isinstance(each, FigureSpot))
    lines += paragraph(", ".join(others), room, "also  ", "      ")
    example = next((group.members[0] for group in shown_groups if group.address == "circuits"), None)
    name = "fuel_pump" if example is None else shown(joined(example.steps[1:]))
    return "\n".join([*lines, "", *_how(name, room)])


def _how(name: str, room: int) -> list[str]:
    return [line for words in (
        f"fuseplan explain PLAN {name} lists the figures of a part",
        f"fuseplan explain PLAN {name}.load_current_a.continuous shows the working of one",
        "fuseplan explain PLAN ampacity finds parts and figures by a word",
        "addresses are those of fuseplan check PLAN --json; the first step may be left out",
    ) for line in paragraph(words, room, "  ", "    ")]


def _names_lines(group: Group, room: int, first: str) -> list[str]:
    lines = paragraph(", ".join(shown(joined(each.steps[-1:])) for each in group.members), room, first, "    ")
    last = shown(joined(group.members[-1].steps[-1:]))
    return lines if len(lines) <= _NAMES else [*lines[:_NAMES - 1], f"    … to {last}"]


def part_text(spot: Spot, room: int, paint: Paint = unpainted) -> str:
    """The figures of one part, with value and words, and the parts inside it."""
    if isinstance(spot, Group):
        return "\n".join([paint(f"{shown(spot.address)}: {spot.words}", "heading"),
                          *(line for each in spot.members
                            for line in paragraph(shown(each.of), room, f"  {shown(each.address)}  ", "    "))])
    listed = list(listing(spot))
    head = f"{shown(spot.address)}: {shown(spot.of or spot.words)}" if spot.steps else spot.words
    lines = [paint(head, "heading"), *_figures_lines(spot, [e for e in listed if isinstance(e, FigureSpot)], room)]
    for group in listed:
        if isinstance(group, Group):
            lines += _names_lines(group, room, f"  {shown(_below(spot, group))} ({len(group.members)})  ")
    first = next((each for each in listed if isinstance(each, FigureSpot)), None)
    if first is not None:
        lines += ["", *paragraph(f"fuseplan explain PLAN {shown(first.address)} shows a working", room, "  ", "    ")]
    return "\n".join(lines)


def _figures_lines(spot: Spot, figures: Sequence[FigureSpot], room: int) -> list[str]:
    rows = [(shown(_below(spot, each)), shown(each.text), shown(each.words)) for each in figures]
    wide, numbers = (max((len(row[column]) for row in rows), default=0) for column in (0, 1))
    return [line for address, text, words in rows
            for line in paragraph(words, room, f"  {address:<{wide}}  {text:>{numbers}}  ", " " * (wide + numbers + 6))]


def _below(spot: Spot, inner: Spot) -> str:
    return joined(inner.steps[len(spot.steps):])


def found_text(found: Sequence[Spot], typed: str, room: int, paint: Paint = unpainted) -> str:
    """Parts and figures that a word finds."""
    lines = [paint(f"{len(found)} found for '{shown(typed)}'", "heading")]
    alike = grouped((each.declaration if isinstance(each, FigureSpot) else (type(each.part), each.steps[-1]), each)
                    for each in found)
    for first, *others in list(alike.values())[:MOST]:
        words = f"{first.text}, {first.whole_words}" if isinstance(first, FigureSpot) else first.of or first.words
        more = f" (and {len(others)} of other parts)" if others else ""
        lines += paragraph(shown(f"{first.address}: {words}{more}"), room, "  ", "    ")
    if len(alike) > MOST:
        lines += paragraph(f"… and {len(alike) - MOST} more: add a word", room, "  ")
    return "\n".join(lines)


def listed(found: Iterable[Spot]) -> list[dict[str, Any]]:
    """Places as plain data: a figure with value and unit, a part or group by its address."""
    return [{"address": each.address, "words": each.whole_words, "value": each.value, "unit": each.unit}
            if isinstance(each, FigureSpot) else
            {"address": each.address, "words": each.of or each.words,
             **({"members": [member.address for member in each.members]} if isinstance(each, Group) else {})}
            for each in found]
