"""Two changes to one text, taken together where they do not touch each other."""

from __future__ import annotations

from difflib import SequenceMatcher, unified_diff

from fuseplan.records import dataclass


@dataclass(frozen=True)
class _Change:
    """Lines `first` to `end` (not included) of the old text become `lines`."""

    first: int
    end: int
    lines: tuple[str, ...]


def merged(old: str, ours: str, theirs: str) -> str | None:
    """The old text with both changes; None where they touch the same or neighbouring lines in different ways."""
    before = old.splitlines(keepends=True)
    both = sorted({*_changes(before, ours), *_changes(before, theirs)}, key=lambda change: (change.first, change.end))
    found: list[str] = []
    done = 0
    for index, change in enumerate(both):
        if index and change.first <= both[index - 1].end:
            return None
        found += before[done:change.first]
        found += change.lines
        done = change.end
    return "".join([*found, *before[done:]])


def _changes(before: list[str], text: str) -> list[_Change]:
    after = text.splitlines(keepends=True)
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    return [_Change(first, end, tuple(after[start:stop]))
            for tag, first, end, start, stop in matcher.get_opcodes() if tag != "equal"]


def differences(old: str, new: str, context: int = 2) -> list[str]:
    """What changed from one text to another, line by line with ``+`` and ``-``; empty where nothing did."""
    lines = unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=context)
    return list(lines)[2:]
