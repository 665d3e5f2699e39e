"""A plan with some of its values changed, without its file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fuseplan.plan.model import Feed, Plan
from fuseplan.plan.parts import Fuse, Relay
from fuseplan.plan.references import Path
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.quantities.wire_size import WireSize

Plain = str | Mapping[str, str]
"""A value as it would stand in the plan's file."""


def typed(path: Path, value: Plain) -> object:
    """A value of the file as the plan's models hold it."""
    key = path[-1]
    if path[:-1] == ("feed",):
        return Feed.model_validate(value)
    if key == "size":
        return WireSize.read(value)
    if key == "rating":
        return amount(value, CURRENT)
    if key == "fuse":
        return Fuse.model_validate(value)
    if key == "relay":
        return Relay.model_validate(value)
    return value


def steps_of(plan: Plan, dotted: str) -> tuple[str, ...]:
    """The path of a key of a part as steps; an id may hold dots itself, so it is matched against the plan."""
    kind, _, rest = dotted.partition(".")
    parts = getattr(plan, kind)
    name = max((each for each in parts if rest.startswith(f"{each}.")), key=len, default="") \
        if isinstance(parts, Mapping) else ""
    return (kind, name, *rest[len(name) + 1:].split(".")) if name else tuple(dotted.split("."))


def put(plan: Plan, path: Path, value: object) -> Plan:
    """The plan with a value, as its models hold it, in its place; the path but for its last step must exist."""
    found: Plan = _put(plan, path, value)
    return found


def _put(part: Any, path: Path, value: object) -> Any:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(part, tuple):
        place = int(step)
        return (*part[:place], _put(part[place], rest, value), *part[place + 1:])
    if isinstance(part, Mapping):
        return {**part, str(step): _put(part.get(str(step)), rest, value)}
    return part.model_copy(update={str(step): _put(getattr(part, str(step)), rest, value)})
