"""A plan with some of its values changed, without its file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fuseplan.advice.proposal import Plain, reason_for_no_fuse
from fuseplan.engine.results import Results
from fuseplan.plan.model import Feed, Plan
from fuseplan.plan.parts import Fuse, Relay
from fuseplan.plan.references import Path
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.quantities.wire_size import WireSize


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


def changed(plan: Plan, values: Mapping[Path, Plain]) -> Plan:
    """The plan with values put in their places; the paths but for their last step must exist."""
    for path, value in values.items():
        plan = _put(plan, path, typed(path, value))
        if (reason := reason_for_no_fuse(path, plan)) is not None:
            plan = _put(plan, reason, None)
    return plan


def _put(part: Any, path: Path, value: object) -> Any:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(part, tuple):
        place = int(step)
        return (*part[:place], _put(part[place], rest, value), *part[place + 1:])
    if isinstance(part, Mapping):
        return {**part, step: _put(part.get(str(step)), rest, value)}
    return part.model_copy(update={step: _put(getattr(part, str(step)), rest, value)})


def owner_key(owner: tuple[str, str]) -> Path:
    """Where a circuit, feed, earth or the alternator stands in the plan."""
    return owner if owner[1] else owner[:1]


def segment_key(results: Results, index: int) -> Path:
    """Where a segment stands in the plan."""
    segments = results.network.segments
    steps = (int(step) if step.isdigit() else step for step in segments.place[index].split("."))
    return (*owner_key(segments.owner[index]), *steps)
