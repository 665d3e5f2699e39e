"""Names of parts in few columns, for where lines are few: no two parts are called alike."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from fuseplan.checks.assessment import Assessment
from fuseplan.grouping import grouped
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.paragraphs import LONG_NAME, shortened
from fuseplan.plan.part_names import given_name, names_replaced, part_name
from fuseplan.plan.references import part_kind_words

_NAMED = ("circuit", "feed", "earth", "run", "fuse_box", "connector")
_SINGLE = ("alternator", "battery")
_LEAST = 10
"""Columns of a name that stand before its id at least."""


def short_part(assessment: Assessment, kind: str, name: str) -> str:
    """What a part is called, in few columns: ``Fuel pump``, ``alternator``; with its id, which is not cut, where
    another part has that name, or one that is the same when it is cut: ``Side lamps of…left (circuit side_2)``."""
    whole = shown(part_name(assessment.plan, (kind, name)))
    cut = shortened(whole)
    if kind not in _NAMED or len(_owners(assessment)[0].get(cut, ())) < 2:
        return cut
    where = shown(f"{part_kind_words(kind)} {name}")
    if given_name(assessment.plan, kind, name) is None:
        return where
    return f"{shortened(whole, max(LONG_NAME - width(where) - 3, _LEAST))} ({where})"


def short_names(text: str, assessment: Assessment) -> str:
    """A sentence with the long names in its quotes cut, those of parts as in `short_part`."""
    return names_replaced(text, lambda name: _short(name, assessment))


def _short(name: str, assessment: Assessment) -> str:
    owners = _owners(assessment)[1].get(name, [])
    return short_part(assessment, *owners[0]) if len(owners) == 1 else shortened(name)


@lru_cache(maxsize=1)
def _owners(assessment: Assessment) -> tuple[Mapping[str, list[tuple[str, str]]], ...]:
    """The parts that have a name: by what is left of it when it is cut, and by the whole."""
    parts = [*((kind, name) for kind in _NAMED for name in getattr(assessment.plan, kind)),
             *((kind, kind) for kind in _SINGLE)]
    called = [(shown(part_name(assessment.plan, part)), part) for part in parts]
    return grouped((shortened(name), part) for name, part in called), grouped(called)
