"""The feeds, earth points and zones a first plan begins with, for a plan that lacks some of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from fuseplan.grouping import grouped
from fuseplan.plan.model import Plan
from fuseplan.plan.references import names_in, part_kind_words
from fuseplan.planfile.library import own_name
from fuseplan.planfile.plain import with_value

KINDS = ("zone", "feed", "earth")
Named = tuple[str, str]
"""Kind and id of a part."""
EXAMPLE = "Example figures: measure the lengths, and enter the sizes and fuses fitted in this car"
"""Stands as a note in every part with figures that are not the car's own."""
_FIGURES = ("wire", "resistance", "fuse")


@lru_cache(maxsize=1)
def _usual() -> Mapping[str, Mapping[str, dict[str, Any]]]:
    """The tables of a first plan without circuits."""
    import tomllib

    from fuseplan.planfile.starter import starter_plan

    data = tomllib.loads(starter_plan("", ()))
    return {kind: data[kind] for kind in KINDS}


def usual_parts(plan: Plan, wanted: Iterable[Named] | None = None) -> dict[Named, dict[str, Any]]:
    """What has to be put into a plan for it to have some of the parts a first plan begins with.

    Args:
        plan: the plan that lacks them
        wanted: the parts; what they name in turn, up to the battery's posts, comes with them. What is no part of a
            first plan is passed over. Left out: all
    Returns:
        The table of each part to be added by kind and id, zones first, then from the battery on. Where the plan has a
        part that stands for one of them, the others name it, and none is added.
    """
    usual = _usual()
    asked = [(kind, name) for kind in KINDS for name in usual[kind]] if wanted is None else [*wanted]
    found: dict[Named, dict[str, Any]] = {}

    def add(kind: str, name: str) -> None:
        if (kind, name) in found or name not in usual.get(kind, {}) or own_name(plan, kind, name)[0] is not None:
            return
        table = usual[kind][name]
        data: dict[str, Any] = {kind: {name: table}}
        found[kind, name] = table  # two that name each other
        for spot, known, target in list(names_in(data)):
            add(target, known)
            data = with_value(data, spot, own_name(plan, target, known)[0] or known)
        table = data[kind][name]
        found.pop((kind, name))
        found[kind, name] = {**table, "note": EXAMPLE} if any(key in table for key in _FIGURES) else table

    for kind, name in asked:
        add(kind, name)
    return {part: found[part] for part in sorted(found, key=lambda part: KINDS.index(part[0]))}


def usual_names(kind: str) -> dict[str, str]:
    """The name of each part of a kind that a first plan begins with, by its id."""
    return {name: str(table["name"]) for name, table in _usual()[kind].items()}


def usual_words(parts: Iterable[Named]) -> str:
    """Parts of a first plan by their names in quotes, those of a kind together."""
    named = grouped((kind, f"'{usual_names(kind)[name]}'") for kind, name in parts)
    return "; ".join(f"{part_kind_words(kind)}{'s' * (len(names) > 1)} {', '.join(names)}"
                     for kind, names in named.items())
