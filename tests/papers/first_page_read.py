"""The dangers of a first page, read back from its text."""

from __future__ import annotations

import re


def dangers_told(page: str) -> tuple[int, int]:
    """How many dangers the entries of a page stand for, those of which there are several times as many or that are
    counted as others and more included, and how many its heading says; (0, 0) without any."""
    found = re.search(r"^Dangers[^(]*\((\d+)\)\n(.*?)(?=\n\S|\n\n)", page, re.MULTILINE | re.DOTALL)
    if found is None:
        return 0, 0
    entries = [" ".join(each.split()) for each in re.split(r"\n  (?=[✗…])", f"\n{found[2]}")[1:]]
    assert entries
    assert entries[0].startswith("✗ ")
    return sum(map(_stands_for, entries)), int(found[1])


def _stands_for(entry: str) -> int:
    rest = re.fullmatch(r"… and (\d+) more: --full", entry)
    if rest:
        return int(rest[1])
    what, others = parted(entry)
    names, more = (others, 0) if (last := re.search(r"; and (\d+) more$", others)) is None else (
        others[:last.start()], int(last[1]))
    return more + _times(what.partition(" → ")[0]) + sum(map(_times, names.split("; "))) if others else _times(
        what.partition(" → ")[0])


def parted(entry: str) -> tuple[str, str]:
    """What an entry says of one part, and the others it names that have the same fault."""
    what, *others = re.split(r"; the same fault(?:, each with its own fix)?: ", entry)
    return what, "".join(others)


def _times(words: str) -> int:
    several = re.search(r" \((\d+) times\)( \(\+\d+\))?$", words)
    return 1 if several is None else int(several[1])


def questions_told(page: str) -> tuple[int, int]:
    """How many questions of safety the entries of a page stand for, those counted as more included, and how many its
    heading says; (0, 0) without any. Where it has a heading alone, all are told by its number."""
    found = re.search(r"^Not said \((\d+) that safety rests on\)(.*?)(?=\n\S|\n\n)", page, re.MULTILINE | re.DOTALL)
    if found is None:
        return 0, 0
    entries = [" ".join(each.split()) for each in re.split(r"\n  (?=[?…·])", found[2])[1:]]
    told = sum(_asks_for(each) for each in entries if not each.startswith("·"))
    return told if entries else int(found[1]), int(found[1])


def _asks_for(entry: str) -> int:
    rest = re.fullmatch(r"… and (\d+) more: --full", entry)
    together = re.match(r"\? [^:]*\bof (\d+) parts?\b", entry)
    if together:
        return int(together[1])
    return int(rest[1]) if rest else _times(entry)
