"""Plans somebody has been at: shipped plans and the checks' own with keys taken out, values at the ends of their
ranges, names changed, parts gone or twice. Most are still read; the others must be refused in a sentence."""

from __future__ import annotations

import copy
import random
import tomllib
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from fuseplan.checks.rule import all_rules
from fuseplan.plan.conditions import built_in
from fuseplan.plan.references import REFERENCES, Path, names_in
from fuseplan.planfile.starter import starter_plan
from fuseplan.workspace.fields import entry_at
from tests.checks.check_plans import BASE, failing, passing
from tests.fuzz.figures import HERE, SHIPPED, figure

TESTS = HERE.parent
JUNK: tuple[Any, ...] = ("", "nan", "inf A", "-1 A", "1e999 V", "0 ohm", "9 ohm", "1 mm2", "AWG 99", 0, -1, 10**30,
                         1e300, float("nan"), float("inf"), True, [], {}, [[]], "nobody", "\x00", "1 A" * 100)

FEW = ("fuel_pump_in_line", "fan_single", "ecu_main", "dip_beam_left", "dip_beam_right", "horn")
"""Circuits of a first plan, named here: which plan a seed gives does not change with what is usual in a car."""


@lru_cache(maxsize=1)
def seeds() -> tuple[dict[str, Any], ...]:
    """The plans that are changed."""
    texts = [path.read_text(encoding="utf-8") for path in SHIPPED if path.parent.name == "examples"]
    texts += [path.read_text(encoding="utf-8") for path in sorted((TESTS / "cli" / "plans").glob("*.toml"))]
    texts += [starter_plan("a car", FEW), starter_plan("a car", ()), BASE]
    texts += [text for name in all_rules() for text in (passing(name), failing(name))]
    return tuple(tomllib.loads(text) for text in texts)


def mutated(seed: int) -> dict[str, Any]:
    """A plan as it stands in a file, one to eight changes away from one of the seeds."""
    rng = random.Random(seed)
    large = rng.random() < 0.15
    data = copy.deepcopy(rng.choice([each for each in seeds() if (len(each.get("circuit", {})) > 12) == large]))
    for _ in range(rng.choice((1, 1, 2, 4, 8))):
        _change(rng, data)
    if rng.random() < 0.8:
        untie(data)
    return data


def untie(data: dict[str, Any]) -> None:
    """Take out what names a part that is gone, so that the rest is still read."""
    for path, name, target in list(names_in(data)):
        parts = data.get(target)
        known = {**(built_in() if target == "condition" else {}), **(parts if isinstance(parts, dict) else {})}
        if name not in known:
            owner: Any = data
            for step in path[:-1]:
                owner = owner[step]
            if isinstance(owner, dict):
                del owner[path[-1]]
            else:
                owner.remove(name)


def _places(value: Any, path: Path = ()) -> Iterator[Path]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, each in inner:
        yield (*path, step)
        yield from _places(each, (*path, step))


def _change(rng: random.Random, data: dict[str, Any]) -> None:
    path = rng.choice([path for path in _places(data) if path != ("fuseplan",)] or [("battery",)])
    owner: Any = data
    for step in path[:-1]:
        owner = owner[step]
    step, kind = path[-1], rng.random()
    entry = entry_at(path)
    target = None if entry is None else REFERENCES.get((entry.owner, entry.key))
    if kind < 0.25 or (step not in owner and not isinstance(owner, list)):
        owner.pop(step, None) if isinstance(owner, dict) else owner.pop(int(step))
    elif kind < 0.32:
        owner[step] = rng.choice(JUNK)
    elif target is not None and entry is not None and entry.kind != "words":
        owner[step] = rng.choice([*data.get(target, {}), "nobody"])
    elif entry is not None and entry.kind in ("amount", "number", "whole", "size", "choice", "yes_no"):
        owner[step] = figure(rng, entry, wild=0.7)
    elif isinstance(owner[step], (dict, list)) and kind < 0.8:
        if isinstance(owner, list):
            owner.append(copy.deepcopy(owner[step]))
        elif len(path) == 2:
            owner[f"{step}_again"] = copy.deepcopy(owner[step])
        else:
            owner[step] = type(owner[step])()
    else:
        data.pop(rng.choice(list(data)[1:] or ["none"]), None)
