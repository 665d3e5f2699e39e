"""Asks on the terminal what is in the car, group by group, and answers with definitions of the library."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fuseplan.papers.harmless import shown
from fuseplan.store.library import Definition

NONE = "-"
HEAD = ("What is in the car? For each group give numbers or parts of names, with commas between; Enter takes\n"
        "the marked ones, - none of the group. All of it can be changed later.\n")


def by_group(definitions: Mapping[str, Definition]) -> dict[str, list[Definition]]:
    """The library's definitions by group, in the order of their ids, without those no figures are given for."""
    found: dict[str, list[Definition]] = {}
    for definition in definitions.values():
        if not all("out_of_scope" in table for table in definition.circuits.values()):
            found.setdefault(definition.group, []).append(definition)
    return found


def picked(answer: str, offered: Sequence[Definition], usual: Sequence[str]) -> list[str]:
    """Ids that an answer names.

    Raises
    ------
    ValueError
        A word fits nothing that is offered, or more than one; the message says which.
    """
    words = answer.replace(",", " ").split()
    if not words:
        return [each.id for each in offered if each.id in usual]
    if words == [NONE]:
        return []
    found: list[str] = []
    for word in words:
        if word.isdigit():
            if not 1 <= int(word) <= len(offered):
                raise ValueError(f"{word} is not on the list; accepted is 1 to {len(offered)}, Enter or {NONE}")
            found.append(offered[int(word) - 1].id)
            continue
        fitting = [each.id for each in offered if word.lower() in each.id.lower() or word.lower() in each.title.lower()]
        if len(fitting) != 1:
            what = "fits nothing here" if not fitting else f"fits {len(fitting)}: {', '.join(fitting)}"
            raise ValueError(f"'{shown(word)}' {what}; accepted is a number, a word that fits one, Enter or {NONE}")
        found.append(fitting[0])
    return list(dict.fromkeys(found))


def ask(definitions: Mapping[str, Definition], usual: Sequence[str], say: Callable[[str], object],
        hear: Callable[[str], str]) -> list[str]:
    """Go through the groups; the end of the input takes what is usual for the rest."""
    say(HEAD)
    chosen: list[str] = []
    ended = False
    for group, offered in by_group(definitions).items():
        if ended:
            chosen += picked("", offered, usual)
            continue
        say(f"\n{shown(group.replace('_', ' '))}\n")
        for number, each in enumerate(offered, 1):
            mark = "*" if each.id in usual else " "
            say(f" {mark}{number:>3}  {shown(each.title)}\n")
        while True:
            try:
                chosen += picked(hear("  > "), offered, usual)
                break
            except ValueError as error:
                say(f"  {error}\n")
            except EOFError:
                ended = True
                chosen += picked("", offered, usual)
                break
    return chosen
