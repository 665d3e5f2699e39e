"""What engine and car need of each other, as a table: functions, what must be alike, and what can be done."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Literal

from fuseplan.plan.mating import normal
from fuseplan.records import dataclass

Side = Literal["car", "engine"]
NO_SOURCE = "common practice, no source"
GROUPS = ("engine runs", "charges", "starts", "fuel", "gauges", "lamps")


@dataclass(frozen=True)
class Function:
    """One function of a wire.

    Attributes:
        sides: "both": a wire of the car and one of the engine must meet; "one": one loom brings it
        wanted: "always", or "found": asked for once a loom offers it
        signal: the kind of signal it is by rights
        compare: what must be alike on both sides beyond that; empty where nothing
        missing_engine, missing_car, missing, doubled, mismatched: what can be done, in general terms
        measure: how it is found out
    """

    id: str
    name: str
    group: str
    sides: Literal["both", "one"]
    wanted: Literal["always", "found"]
    signal: str
    also: tuple[str, ...] = ()
    compare: str = ""
    missing: str = ""
    missing_engine: str = ""
    missing_car: str = ""
    doubled: str = ""
    mismatched: str = ""
    measure: str = ""
    source: str = NO_SOURCE

    @property
    def is_probed(self) -> bool:
        """Whether a meter is put on it at all."""
        return not self.measure.startswith("not to be probed")

    @property
    def words(self) -> tuple[str, ...]:
        """All it may be called, as words are compared."""
        return tuple(dict.fromkeys(normal(each) for each in (self.id, self.name, *self.also)))


@cache
def functions() -> dict[str, Function]:
    """All functions on file by id, in the order of the file."""
    text = Path(__file__).with_name("functions.toml").read_text(encoding="utf-8")
    found = {}
    for row in tomllib.loads(text)["function"]:
        each = Function(**{**row, "also": tuple(row.get("also", ()))})
        found[each.id] = each
    return found


@cache
def _by_words() -> dict[str, Function]:
    return {words: each for each in functions().values() for words in each.words}


def function_of(words: str | None) -> Function | None:
    """The function that words stand for; None for words that are on file nowhere. Nothing alike is guessed at."""
    return _by_words().get(normal(words)) if words else None
