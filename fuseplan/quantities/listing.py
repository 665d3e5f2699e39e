"""Several things in the middle of a sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

Listed = TypeVar("Listed")


def either(texts: Iterable[str]) -> str:
    """Texts to choose from: ``'14 m', '14 ft' or '14 cm'``."""
    quoted = [f"'{text}'" for text in texts]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def all_of(texts: Sequence[str]) -> str:
    """Texts that all count: ``a, b and c``; empty for none."""
    return " and ".join([", ".join(texts[:-1]), texts[-1]]) if len(texts) > 1 else "".join(texts)


def first_few(listed: Sequence[Listed], most: int, words: Callable[[Listed], str] = str, between: str = ", ",
              last: str = " and ") -> str:
    """The first of many, in words, and how many more there are: ``a, b and 3 more``; no words of the others."""
    more = f"{last}{len(listed) - most} more" if len(listed) > most else ""
    return between.join(map(words, listed[:most])) + more
