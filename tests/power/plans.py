"""Plans of the power tests."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from fuseplan.engine.changes import Change
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.limits import limit_set
from fuseplan.planfile.read import parse_plan, plan_of

DEFICIT = Path(__file__).with_name("deficit.toml")
WET_IDLE = "idle_wet_night"


def solved(text: str) -> Results:
    """A plan's text, solved under the road limits."""
    return compute(parse_plan(text), limit_set("road"))


def deficit() -> Results:
    """The plan with the deficit."""
    return solved(DEFICIT.read_text(encoding="utf-8"))


def changed(old: str, new: str) -> Results:
    """The plan with the deficit and one text in it replaced."""
    text = DEFICIT.read_text(encoding="utf-8")
    assert old in text
    return solved(text.replace(old, new))


def typed_in(file: Path, changes: tuple[Change, ...]) -> Results:
    """The plan of a file with changes made in its data, as typing them would, and read anew."""
    text = file.read_text(encoding="utf-8")
    data: dict[str, Any] = tomllib.loads(text)
    for change in changes:
        here: Any = data
        for step in change.path[:-1]:
            here = here.setdefault(step, {}) if isinstance(here, dict) else here[step]
        if change.value is None:
            del here[change.path[-1]]
        else:
            here[change.path[-1]] = change.plain
    plan = plan_of(data, text, str(file))
    return compute(plan, limit_set(plan.vehicle.limits))


def condition(results: Results, name: str) -> int:
    """Number of a condition."""
    return results.network.condition_ids.index(name)
