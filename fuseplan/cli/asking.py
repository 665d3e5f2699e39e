"""Asks on the terminal what is in the car, group by group, and answers with definitions of the library."""

from __future__ import annotations

import re
from argparse import ArgumentTypeError
from collections.abc import Callable, Mapping, Sequence

from fuseplan.grouping import grouped
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import wrap
from fuseplan.plan.definition import group_words
from fuseplan.planfile.library import Definition
from fuseplan.planfile.starter import LIBRARY_SYSTEM
from fuseplan.quantities.listing import all_of, either
from fuseplan.workspace.library_search import BY_MEANING, rank

NONE = "-"
BACK = ("back", "<")
_SPAN = re.compile(r"(\d{1,6})(?:\s*[-–]\s*(\d{1,6}))?", re.ASCII)
_NUMBERS = re.compile(rf"{_SPAN.pattern}(?:\s+{_SPAN.pattern})*", re.ASCII)
HEAD = ("What is in the car? Group by group; back or < returns to the group before. Give numbers (1, 3 or 4-6) or "
        "parts of names, with commas between; Enter takes the usual ones, marked *, or none where none is marked; - "
        "takes none of the group. All of it can be changed later.")
FIRST = ("This is the first group, there is none before it. Nothing is written yet: Ctrl+C stops, to begin again with "
         "another system voltage.")
_ACCEPTED = f"Accepted are numbers, parts of names that fit one each, Enter, {NONE} for none, or {BACK[1]}"
SYSTEM_HEAD = "System voltage of the car: 6, 12 or 24 V? Enter takes 12 V."


def ask_system(read: Callable[[str], str], say: Callable[[str], object], hear: Callable[[str], str],
               columns: int = 100) -> str:
    """The system voltage in V, as `read` gives it from an answer; 12 where the answer is empty or the input ends."""
    say(f"{SYSTEM_HEAD}\n")
    while True:
        try:
            answer = hear("  > ")
            return read(answer) if answer.strip() else LIBRARY_SYSTEM
        except EOFError:
            return LIBRARY_SYSTEM
        except ArgumentTypeError as error:
            say("\n".join(f"  {each}" for each in wrap(str(error), columns - 2)) + "\n")


def by_group(definitions: Mapping[str, Definition]) -> dict[str, list[Definition]]:
    """The library's definitions by group, in the order of their ids, without those no figures are given for."""
    return grouped((each.group, each) for each in definitions.values()
                   if not all("out_of_scope" in table for table in each.circuits.values()))


def picked(answer: str, offered: Sequence[Definition], usual: Sequence[str],
           groups: Mapping[str, Sequence[Definition]] | None = None) -> list[str]:
    """Ids that an answer names; `groups` are all there are, to say which one holds what is not offered here.

    Raises:
        ValueError: A word fits nothing that is offered, or more than one; the message says which.
    """
    parts = [part.strip() for part in answer.split(",") if part.strip()]
    if not parts:
        return [each.id for each in offered if each.id in usual]
    if parts == [NONE]:
        return []
    found: list[str] = []
    for part in parts:
        if _NUMBERS.fullmatch(part):
            found += _numbered(part, offered)
            continue
        fitting = _fitting(part, offered)
        if len(fitting) == 1:
            found.append(fitting[0].id)
            continue
        words = part.split()
        single = [_fitting(word, offered) for word in words]
        if not fitting and len(words) > 1 and all(len(each) == 1 for each in single):
            found += [each[0].id for each in single]
            continue
        others = [f"'{group_words(group)}'" for group, held in (groups or {}).items() if _fitting(part, held)]
        groups_of = f"group{'s' if len(others) > 1 else ''} {all_of(others)}"
        what = f"is in the {groups_of}" if not fitting and others else \
            "fits nothing here" if not fitting else f"fits {len(fitting)}: {'; '.join(x.title for x in fitting)}"
        raise ValueError(f"'{shown(part)}' {shown(what)}. {_ACCEPTED}")
    return list(dict.fromkeys(found))


def _numbered(part: str, offered: Sequence[Definition]) -> list[str]:
    """Ids at numbers and spans of numbers."""
    found: list[str] = []
    for word in _SPAN.findall(part):
        first, last = int(word[0]), int(word[1] or word[0])
        if not 1 <= first <= last <= len(offered):
            raise ValueError(f"{'-'.join(filter(None, word))} is not on the list; accepted is 1 to {len(offered)}, "
                             f"Enter, or {NONE} for none")
        found += [each.id for each in offered[first - 1:last]]
    return found


def _fitting(part: str, offered: Sequence[Definition]) -> list[Definition]:
    """Definitions that a part of an answer names, best: by title, id or what else people call them."""
    ranks = {each.id: found[0] for each in offered if (found := rank(each, part)) is not None and found[0] < BY_MEANING}
    return [each for each in offered if each.id in ranks and ranks[each.id] == min(ranks.values())]


def ask(definitions: Mapping[str, Definition], usual: Sequence[str], say: Callable[[str], object],
        hear: Callable[[str], str], columns: int = 100) -> list[str]:
    """Go through the groups, in lines of some columns; at its end what is usual is taken for the rest."""
    say("\n".join(wrap(HEAD, columns)) + "\n")
    groups = by_group(definitions)
    names, answers = list(groups), dict[str, list[str]]()
    at = 0
    try:
        while at < len(names):
            answer = _answer(groups, names[at], at, usual, say, hear, columns)
            if answer is not None:
                answers[names[at]] = answer
            at += 1 if answer is not None else -1
    except EOFError:
        answers = {name: picked("", groups[name], usual) for name in names} | answers
    chosen = [name for group in names for name in answers[group]]
    without = [shown(group_words(group)) for group, offered in groups.items()
               if not {each.id for each in offered} & set(chosen)]
    if without:
        say("\n" + "\n".join(wrap(f"Nothing taken of: {', '.join(without)}. What your car has of these is missing from "
                                  "the plan until you add it.", columns)) + "\n")
    return chosen


def _answer(groups: Mapping[str, Sequence[Definition]], group: str, before: int, usual: Sequence[str],
            say: Callable[[str], object], hear: Callable[[str], str], columns: int) -> list[str] | None:
    """What is taken of a group that stands behind some others, asked until the answer fits; None to return to the one
    before it."""
    offered = groups[group]
    say(f"\n{shown(group_words(group))} ({before + 1} of {len(groups)})\n")
    for number, each in enumerate(offered, 1):
        mark = "*" if each.id in usual else " "
        say(f" {mark}{number:>3}  {shown(each.title)}\n")
    while True:
        answer = hear("  > ")
        word = answer.strip().lower()
        named = [each.title for each in _fitting(word, offered)] if word == BACK[0] else []
        if named:
            refused = f"'{shown(word)}' is also {shown(either(named))}: give its number, or {BACK[1]} to return"
        elif word not in BACK:
            try:
                return picked(answer, offered, usual, groups)
            except ValueError as error:
                refused = str(error)
        elif before:
            return None
        else:
            refused = FIRST
        say("\n".join(f"  {each}" for each in wrap(refused, columns - 2)) + "\n")
