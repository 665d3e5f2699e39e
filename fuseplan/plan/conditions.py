"""The operating conditions a plan is judged in: the built-in ones, overridden or added to by the plan."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from fuseplan.plan.model import Condition, Plan
from fuseplan.plan.words import WHEN_ALWAYS


@lru_cache(maxsize=1)
def built_in() -> Mapping[str, Condition]:
    """The built-in conditions by id, in the order they are shown."""
    text = Path(__file__).with_name("conditions.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: Condition.model_validate(value) for key, value in tomllib.loads(text).items()})


def conditions_of(plan: Plan) -> dict[str, Condition]:
    """The conditions of a plan by id: built-in first, the plan's own definitions winning."""
    return {**built_in(), **plan.condition}


def words_in_use(plan: Plan) -> dict[str, list[str]]:
    """Every word a condition may list, the built-in conditions' first, with the circuits whose loads list it."""
    found: dict[str, list[str]] = {word: [] for condition in built_in().values() for word in condition.when}
    for name, circuit in plan.circuit.items():
        for word in dict.fromkeys(word for load in circuit.load for word in load.when if word != WHEN_ALWAYS):
            found.setdefault(word, []).append(name)
    return found
