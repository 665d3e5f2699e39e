"""Values for the keys of a plan, read off the models: usual ones from the shipped plans, odd and extreme ones from the
ranges. Nothing here decides what a plan may hold; a new key is fuzzed as soon as the model has it."""

from __future__ import annotations

import random
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from fuseplan.limits import names as limit_sets
from fuseplan.plan.conditions import built_in
from fuseplan.planfile.read import _on_file
from fuseplan.workspace.entry import is_right
from fuseplan.workspace.fields import Entry

HERE = Path(__file__).parent
SHIPPED = sorted([*(HERE.parents[1] / "examples").glob("*.toml"), *(HERE.parents[1] / "circuits").glob("*.toml")])
SIZES = ("0.05 mm2", "0.13 mm2", "0.5 mm2", "1 mm2", "2.5 mm2", "3.3 mm2", "6 mm2", "16 mm2", "70 mm2", "300 mm2",
         "AWG 24", "AWG 14", "AWG 4/0", "SAE 14", "AV 1.25", "AV 100")
TEXTS = ("x", "Ω‰ ⚠", "[red]a[/red]", "{0} %s \\n", "two\nlines", "\t", "0", "a" * 64, "F7", "14V 55A 20", "90/50 A")
STATES = ("off", "accessory", "ignition", "crank", "running", "run_on")
ON_FILE = ("contact", "insulation", "terminal", "holder", "socket")
WORDS = ("always", *sorted({word for condition in built_in().values() for word in condition.when}))


@lru_cache(maxsize=1)
def usual() -> dict[str, list[Any]]:
    """Every value the shipped plans and the library hold, by key."""
    found: dict[str, list[Any]] = defaultdict(list)
    for path in SHIPPED:
        for key, value in _leaves(tomllib.loads(path.read_text(encoding="utf-8"))):
            found[key].append(value)
    return found


def _leaves(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _leaves(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from _leaves(inner, key)
    else:
        yield key, value


def figure(rng: random.Random, entry: Entry, wild: float) -> Any:
    """A value for a key that holds one figure, text, size or word; `wild` is the share of odd and extreme ones."""
    known = usual().get(entry.key, [])
    if entry.kind == "choice":
        return rng.choice(entry.choices)
    if entry.kind == "yes_no":
        return rng.random() < 0.5
    if entry.key in ON_FILE:
        return rng.choice(sorted(_on_file(entry.key)))
    if entry.key == "limits":
        return rng.choice(limit_sets())
    if entry.kind == "size":
        return rng.choice(SIZES if rng.random() < wild or not known else [str(each) for each in known])
    if entry.kind in ("amount", "pair"):
        return _amount(rng, entry, wild)
    if entry.kind in ("number", "whole"):
        assert entry.between is not None
        low, high = entry.between.low, entry.between.high
        number = rng.choice((low, high)) if rng.random() < wild else rng.uniform(low, high)
        return int(number) if entry.kind == "whole" else float(f"{number:.4g}")
    return rng.choice(TEXTS if rng.random() < wild or not known else known)


def _amount(rng: random.Random, entry: Entry, wild: float) -> str:
    dimension = entry.dimension
    assert dimension is not None
    fits = _in_range(entry)
    if fits and rng.random() >= wild:
        return rng.choice(fits)
    if rng.random() < 0.5:
        return rng.choice((dimension.lowest, dimension.highest))
    least = max(dimension.low, dimension.high * 1e-6)
    value = least * (dimension.high / least) ** rng.random() if dimension.low >= 0 else \
        rng.uniform(dimension.low, dimension.high)
    return f"{min(max(float(f'{value:.4g}'), dimension.low), dimension.high):.6g} {dimension.unit}"


@cache
def _in_range(entry: Entry) -> tuple[str, ...]:
    """What is usual for a key and right for its entry, each as often as it is met."""
    known = usual().get(entry.key, ()) if entry.kind == "amount" else ()
    right = cache(lambda text: is_right(entry, text))
    return tuple(text for text in known if isinstance(text, str) and right(text))
