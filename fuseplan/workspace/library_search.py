"""Searching the library by what people call a circuit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import lru_cache

from fuseplan.plan.roles import role_named
from fuseplan.planfile.library import Definition
from fuseplan.planfile.starter import CIRCUITS

_LEAST = 3
"""Letters a word keeps at least when its plural s is dropped."""
_ALIKE = (("licence", "license"), ("tyre", "tire"), ("light", "lamp"), ("bulb", "lamp"), ("screen", "shield"))
"""Spellings and words that are taken for one another."""

BY_MEANING = 6
"""Rank of what fits by what it is for and not by name."""

Rank = tuple[int, int, int, bool, str, str]


@lru_cache(maxsize=2000)
def words_of(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared: small letters, no plural, one spelling of each."""
    return tuple(map(_plain, re.findall(r"[^\W_]+", text.casefold())))


def _plain(word: str) -> str:
    for one, other in _ALIKE:
        word = word.replace(one, other)
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > _LEAST else word


def rank(each: Definition, typed: str) -> Rank | None:
    """How well a definition fits what was typed, less is better; None where it does not fit.

    In this order: the title, or another name people use, is what was typed; the title begins so; the title holds its
    words whole; another name does; one of them holds words that begin so; holds the letters; the circuit is for what
    the words mean; only group or note hold words that begin so, which may name the very circuits they are not about. Of
    alike ones that with most words spelled as typed and fewest besides comes first, then what is usual in a car.
    """
    asked = words_of(typed)
    title = words_of(each.title)
    others = [*map(words_of, each.also)]
    names = [title, *others]
    spare = len(set(title) - set(asked)) if asked else 0
    spelled_otherwise = len(set(typed.casefold().split()) - set(each.title.casefold().replace(",", "").split()))
    steps: tuple[Callable[[], bool], ...] = (
        lambda: asked in names,
        lambda: title[:len(asked)] == asked,
        lambda: set(asked) <= set(title),
        lambda: any(set(asked) <= set(name) for name in others),
        lambda: any(_each_begins_a_word(asked, name) for name in names),
        lambda: all(any(part in " ".join(name) for name in (*names, words_of(each.id))) for part in asked),
        lambda: _is_for(each, typed),
        lambda: _each_begins_a_word(asked, words_of(f"{each.title} {each.group} {each.note}")),
    )
    found = next((number for number, fits in enumerate(steps) if fits()), None)
    return None if found is None else (found, spelled_otherwise, spare, each.id not in CIRCUITS, each.group, each.title)


def _each_begins_a_word(asked: tuple[str, ...], words: tuple[str, ...]) -> bool:
    """Whether each part of what was asked begins one of some words."""
    return all(any(word.startswith(part) for word in words) for part in asked)


def _is_for(each: Definition, typed: str) -> bool:
    """Whether what was typed is another word for what a circuit of the definition is for: ``brake light``."""
    role = role_named(typed)
    return role is not None and any(circuit.get("role") == role for circuit in each.circuits.values())


def search(definitions: Iterable[Definition], typed: str) -> list[Definition]:
    """The definitions that fit what was typed, the best first; all of them, by group and title, for no words.

    What was typed fits by name before it fits by what a note says: where a name fits, notes are not looked at.
    """
    ranked = {each.id: (found, each) for each in definitions if (found := rank(each, typed)) is not None}
    if not words_of(typed):
        return sorted((each for _, each in ranked.values()), key=lambda each: (each.group, each.title))
    if any(found[0] < BY_MEANING for found, _ in ranked.values()):
        ranked = {name: pair for name, pair in ranked.items() if pair[0][0] <= BY_MEANING}
    return [each for _, each in sorted(ranked.values(), key=lambda pair: pair[0])]
