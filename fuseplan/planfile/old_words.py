"""Old words of the plan file and what they are called now: the one table.

The format's number stays 1: a plan that uses none of the old words is valid as it stands, and one that does is refused
word by word, with the new word.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from fuseplan.plan.references import Path, place
from fuseplan.planfile.plain import MISSING, get
from fuseplan.quantities.amounts import clean

KEYS: dict[Path, str] = {
    ("vehicle", "guidance"): "limits",
    ("alternator", "setpoint"): "regulator_voltage",
    ("alternator", "charge_wire"): "cable",
}
"""Keys by their place in the file, and their names now."""

NAMES: dict[Path, str] = {("condition", "after_run"): "run_on"}
"""Built-in parts a plan may define anew, by their place, and their names now."""

_STATE = {"after_run": "run_on"}
VALUES: dict[str, dict[str, str]] = {
    "kind": {"regular": "blade", "torpedo": "ceramic"},
    "holder": {"regular_in_line": "blade_in_line", "regular_in_line_heavy": "blade_in_line_heavy"},
    "origin": {"kept": "existing"},
    "state": _STATE, "live": _STATE, "must_run": _STATE, "must_stop": _STATE, "when": _STATE, "condition": _STATE,
}
"""Values by the key they stand under, alone or in a list, and what they are now."""


class Renamed(NamedTuple):
    """An old word in a plan."""

    path: Path
    """Where it stands; of a key or name, its own path."""
    old: str
    new: str
    is_value: bool

    def sentence(self) -> str:
        """What the word is called now, in the middle of a message."""
        if self.is_value:
            key = next(str(step) for step in reversed(self.path) if isinstance(step, str))
            steps = self.path[: len(self.path) - 1 - self.path[::-1].index(key)]
            return f"{place(steps)}: `{key}` '{clean(self.old)}' is called '{self.new}' now"
        return f"{place(self.path[:-1])}: `{clean(self.old)}` is called `{self.new}` now"


def renamed(data: Mapping[str, Any]) -> list[Renamed]:
    """The old words of a plan or library file, as plain data, keys first."""
    found = [Renamed(path, str(path[-1]), new, False) for path, new in (KEYS | NAMES).items()
             if get(data, path) is not MISSING]
    return [*found, *_values(data, ())]


def has_renamed_name(data: Mapping[str, Any]) -> bool:
    """Whether a plan defines a built-in part under its old name, which would silently be another part."""
    return any(get(data, path) is not MISSING for path in NAMES)


def _values(part: Any, path: Path) -> Iterator[Renamed]:
    known = VALUES.get(str(path[-1]), {}) if path else {}
    if isinstance(part, str):
        if part in known:
            yield Renamed(path, part, known[part], True)
    elif isinstance(part, list):
        for index, value in enumerate(part):
            if isinstance(value, str):
                if value in known:
                    yield Renamed((*path, index), value, known[value], True)
            else:
                yield from _values(value, (*path, index))
    elif isinstance(part, dict):
        for key, value in part.items():
            yield from _values(value, (*path, key))
