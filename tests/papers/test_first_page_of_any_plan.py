"""The first page stays one page whatever the plan, and no danger is passed over on it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import PlanError
from fuseplan.papers.findings import finding_level
from fuseplan.papers.harmless import width
from fuseplan.papers.not_said_text import say_first
from fuseplan.papers.summary import LINES, WORST_LINES, first_page
from fuseplan.planfile.read import plan_of
from tests.fuzz.generated import generated
from tests.fuzz.mutated import mutated
from tests.papers.first_page_read import dangers_told, questions_told

LONG = ("Side and tail lamps of the trailer, with all that was added to them later on, and of its coupling, side {}",
        "Side and tail lamps of the trailer, those of number {}, with all that was added to them later on")
"""Names that differ at their ends, and in what is cut of them."""
LONGEST_ENTRY = 5
"""Lines of an entry: one that has no room for all of it is counted."""


def assessed(data: dict[str, Any]) -> Assessment | None:
    """None for a plan that is refused."""
    try:
        return assess(plan_of(data, "", "plan"))
    except PlanError:
        return None


def plans(seeds: Iterable[int], long: str | None) -> Iterator[Assessment]:
    """Plans made at random, in which far more is wrong than in any car, with long names of its parts or its own."""
    for seed in seeds:
        for make in (generated, mutated):
            data = make(seed)
            for kind in ("vehicle", "feed", "earth", "circuit", "condition", "connector") if long else ():
                parts = data.get(kind, {})
                named_parts = [parts] if kind == "vehicle" else parts.values() if isinstance(parts, dict) else ()
                for number, part in enumerate(named_parts):
                    if isinstance(part, dict):
                        part["name"] = long.format(number)
            found = assessed(data)
            if found is not None:
                yield found


QUICK = (*range(10), *range(11, 14))
"""One plan of the tenth takes as long to solve as all of these."""
NAMES = pytest.mark.parametrize("long", [None, *LONG], ids=["own names", "names begin alike", "names end alike"])


@pytest.mark.share
@NAMES
def test_the_first_page_of_any_plan(long: str | None, in_full: bool) -> None:
    hold_to_one_page(range(50) if in_full else QUICK, long)


@pytest.mark.long
@NAMES
def test_the_first_page_of_many_plans(long: str | None, request: pytest.FixtureRequest) -> None:
    first = request.config.getoption("--first")
    hold_to_one_page(range(first, first + max(14, request.config.getoption("--count"))), long)


def hold_to_one_page(seeds: Iterable[int], long: str | None) -> None:
    """Each plan is made and assessed once for all that its page must hold to."""
    longest, most_dangers, cut = 0, 0, 0
    entries = dict.fromkeys((45, 60, 80, 100), 0)
    for found in plans(seeds, long):
        pages = {room: first_page(found, room) for room in entries}
        dangers = one_page_that_tells_or_counts_every_danger(found, pages[100])
        longest, most_dangers = max(longest, len(pages[100].splitlines())), max(most_dangers, dangers)
        for room, page in pages.items():
            entries[room] += told_on_a_narrow_page(page, room)
        cut += worst_kind_has_its_lines_though_it_is_warnings(found)
    assert longest > 40
    assert most_dangers > 30
    # Of dangers and questions nearly as many entries, as more is lost at the ends of short lines.
    assert min(entries.values()) >= 0.95 * entries[100], entries
    assert cut > 3


def one_page_that_tells_or_counts_every_danger(found: Assessment, page: str) -> int:
    """Hold a page to one page on which nothing is passed over; how many dangers lead on it."""
    lines = page.splitlines()
    assert len(lines) <= LINES, page
    assert max(map(width, lines)) <= 100
    dangers = sum(each.cause is None and finding_level(each) == "danger" for each in found.findings)
    assert dangers_told(page) == (dangers, dangers), page
    assert bool(found.count("danger")) == lines[1].startswith("DO NOT POWER UP: "), page
    assert re.search("^⚠ Arithmetic with published limits, no approval", page, re.MULTILINE)
    for level, heading in (("warning", "Will not work, or will be damaged"), ("measure", "Measure first")):
        leading = sum(each.cause is None and finding_level(each) == level for each in found.findings)
        assert bool(leading) == bool(re.search(rf"^{heading}[^(]*\({leading}\)", page, re.MULTILINE)), page
    first = say_first(found)
    assert bool(first) == bool(re.search("^Enter first", page, re.MULTILINE)), page
    serious = sum(each.safety for each in found.not_said if each not in first)
    assert questions_told(page) == (serious, serious), page
    return dangers


def told_on_a_narrow_page(page: str, room: int) -> int:
    """Hold a narrow page to lines that are as many more as they are shorter, headings folded too, and to counting what
    it does not tell; its entries of dangers and questions."""
    lines = page.splitlines()
    assert len(lines) <= LINES * 100 / room + 0.5, page
    assert max(map(width, lines)) <= room, page
    told, counted = dangers_told(page)
    assert told == counted, page
    told, counted = questions_told(page)
    assert told == counted, page
    return len(re.findall("^  [✗?] ", page, re.MULTILINE))


def worst_kind_has_its_lines_though_it_is_warnings(found: Assessment) -> bool:
    """Hold a plan with its dangers as warnings to the lines their entries may take, whatever else is asked or unknown;
    whether they need more."""
    lesser = replace(found, findings=tuple(
        replace(each, level="warning") if each.level == "danger" else each for each in found.findings))
    block = re.search(r"^Will not work[^\n]*\n(.*?)(?=\n\n|\n\S)", page := first_page(lesser, 100),
                      re.MULTILINE | re.DOTALL)
    if block is None or "\n  … and " not in block[0]:
        return False
    assert len(block[0].splitlines()) >= WORST_LINES - LONGEST_ENTRY, page
    return True
