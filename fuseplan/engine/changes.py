"""A change to a plan as it would be typed in: a path and a value, applied to the models and printed as TOML."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from fuseplan.plan.model import Condition, Plan
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import Amount
from fuseplan.records import dataclass

Step = str | int
Path = tuple[Step, ...]


@dataclass(frozen=True)
class Change:
    """One key of the plan set to a value; None takes the key out."""

    path: Path
    value: Amount | str | float | Condition | None

    @property
    def plain(self) -> Any:
        """The value as a TOML file holds it."""
        if isinstance(self.value, Amount):
            return self.value.text
        if isinstance(self.value, Condition):
            return {key: value for key, value in (
                ("name", self.value.name), ("state", self.value.state), ("engine", self.value.engine.text),
                ("when", list(self.value.when)), ("duration", self.value.duration.text)) if value is not None}
        return self.value

    def typed(self) -> str:
        """The line a person would type at the head of the plan; for a key to take out, what to delete."""
        where = ".".join(str(step) for step in self.path)
        return f"delete {where}" if self.value is None else f"{where} = {_toml(self.plain)}"


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(inner)}" for key, inner in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(inner) for inner in value) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else writing.typed(value)


def apply(plan: Plan, changes: Sequence[Change]) -> Plan:
    """The plan with the changes made; the plan itself is left as it is.

    The values are taken as they are: they must be what the plan's models would make of the text.
    """
    changed: Any = plan
    for change in changes:
        changed = _set(changed, change.path, change.value)
    result: Plan = changed
    return result


def _set(part: Any, path: Path, value: Any) -> Any:
    step, rest = path[0], path[1:]
    if isinstance(part, BaseModel):
        name = _field(part, str(step))
        inner = _set(getattr(part, name), rest, value) if rest else value
        if inner is None and not rest:
            inner = type(part).model_fields[name].get_default(call_default_factory=True)
        return part.model_copy(update={name: inner})
    if isinstance(part, Mapping):
        return {**part, str(step): _set(part[str(step)], rest, value) if rest else value}
    index = int(step)
    return tuple(_set(each, rest, value) if number == index else each for number, each in enumerate(part))


def _field(part: BaseModel, key: str) -> str:
    """Name of the field a key of the file sets."""
    for name, info in type(part).model_fields.items():
        if (info.alias or name) == key:
            return name
    raise KeyError(key)
