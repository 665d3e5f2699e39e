"""The words this program uses, with meaning and standard, from the one file that holds them."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path

from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Term:
    """One word; `also` holds other words for the same, American ones among them."""

    word: str
    meaning: str
    source: str
    also: tuple[str, ...] = ()


@lru_cache(maxsize=1)
def terms() -> tuple[Term, ...]:
    """All words, in the order of the file."""
    data = tomllib.loads(Path(__file__).with_name("terms.toml").read_text(encoding="utf-8"))
    return tuple(Term(each["word"], each["meaning"], each["source"], tuple(each.get("also", ())))
                 for each in data["term"])


def find_terms(asked: str) -> list[Term]:
    """The terms a word stands for: those it names exactly, else those whose names hold it, else those whose meaning
    does."""
    wanted = " ".join(asked.casefold().split())
    named = [(each, [name.casefold() for name in (each.word, *each.also)]) for each in terms()]
    return [each for each, names in named if wanted in names] or \
        [each for each, names in named if any(wanted in name for name in names)] or \
        [each for each in terms() if wanted in each.meaning.casefold()]


def terms_text(shown: list[Term], columns: int, paint: Paint = unpainted) -> str:
    """Words with meaning, other words and source."""
    lines: list[str] = []
    for each in shown:
        also = f" ({', '.join(each.also)})" if each.also else ""
        lines += [*paragraph(each.word + also, columns), *paragraph(each.meaning, columns, "  "),
                  *paragraph(f"Source: {each.source}", columns, "  "), ""]
    return "\n".join([paint(line, "heading") if not line.startswith(" ") and line else line for line in lines[:-1]])
