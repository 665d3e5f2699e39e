"""The trips a plan is driven through: the built-in ones, overridden or added to by the plan."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from fuseplan.plan.model import Plan, Trip


@lru_cache(maxsize=1)
def built_in_trips() -> Mapping[str, Trip]:
    """The built-in trips by id, in the order they are shown."""
    text = Path(__file__).with_name("trips.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: Trip.model_validate(value) for key, value in tomllib.loads(text).items()})


def trips_of(plan: Plan) -> dict[str, Trip]:
    """The trips of a plan by id: built-in first, the plan's own definitions winning."""
    return {**built_in_trips(), **plan.trip}
