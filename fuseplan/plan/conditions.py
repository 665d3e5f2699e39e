"""The operating conditions a plan is judged in and the trips it is driven through: the built-in ones, overridden or
added to by the plan."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from pydantic import BaseModel

from fuseplan.plan.model import Condition, Plan, Trip
from fuseplan.plan.words import WHEN_ALWAYS

_Model = TypeVar("_Model", bound=BaseModel)


def _shipped(file: str, model: type[_Model]) -> Mapping[str, _Model]:
    text = Path(__file__).with_name(file).read_text(encoding="utf-8")
    return MappingProxyType({key: model.model_validate(value) for key, value in tomllib.loads(text).items()})


@lru_cache(maxsize=1)
def built_in() -> Mapping[str, Condition]:
    """The built-in conditions by id, in the order they are shown."""
    return _shipped("conditions.toml", Condition)


@lru_cache(maxsize=1)
def built_in_trips() -> Mapping[str, Trip]:
    """The built-in trips by id, in the order they are shown."""
    return _shipped("trips.toml", Trip)


def conditions_of(plan: Plan) -> dict[str, Condition]:
    """The conditions of a plan by id: built-in first, the plan's own definitions winning."""
    return {**built_in(), **plan.condition}


def trips_of(plan: Plan) -> dict[str, Trip]:
    """The trips of a plan by id: built-in first, the plan's own definitions winning."""
    return {**built_in_trips(), **plan.trip}


def words_in_use(plan: Plan) -> dict[str, list[str]]:
    """Every word a condition may list, the built-in conditions' first, with the circuits whose loads list it."""
    found: dict[str, list[str]] = {word: [] for condition in built_in().values() for word in condition.when}
    for name, circuit in plan.circuit.items():
        for word in dict.fromkeys(word for load in circuit.load for word in load.when if word != WHEN_ALWAYS):
            found.setdefault(word, []).append(name)
    return found
