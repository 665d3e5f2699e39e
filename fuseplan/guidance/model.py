"""A guidance: which published tables and factors a plan is judged by, as data with a source beside each figure."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from fuseplan.errors import GuidanceError, TableError
from fuseplan.tables import ampacity, conductors, drops, factors, fuses, insulations
from fuseplan.tables.load import Cited, Source
from fuseplan.units import WireSize

Floats = NDArray[np.float64]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class WireRule(_Part):
    """One ampacity table and how far it may be carried to other ambients."""

    table: str
    walls: tuple[str, ...] = ("standard", "thin")
    by_class: bool = False
    """The table prints a column for each insulation class."""
    rise_k: float | None = None
    """Conductor rise the printed currents stand for; the square-root law is applied to it."""
    reference_c: float | None = None
    """Ambient of the printed currents, where rise and insulation class are printed by column."""
    largest_factor: float = math.inf
    basis: str


class GroupRule(_Part):
    table: str | None = None
    counted_from: float = 0.0
    basis: str


class FuseRule(_Part):
    continuous_share: float
    intermittent_share: float = 1.0
    ambient: str = "none"
    """"blade": the published ambient curve of blade fuses; "none": no ambient factor printed."""
    wire_multiple: float | None = None
    wire_table: str | None = None
    continuous_source: str
    wire_source: str


class DropRule(_Part):
    table: str
    lamp_share: float | None = None
    return_limit_v: float | None = None
    return_source: str | None = None


class AlternatorRule(_Part):
    continuous_share: float
    peak_share: float
    continuous_source: str
    peak_source: str


class Rated(NamedTuple):
    """What the guidance says of one size and insulation, before ambient and grouping."""

    base_a: float
    max_c: float
    rise_k: float
    largest_factor: float
    source: Source
    basis: str


class Guidance(_Part):
    """One set of published limits."""

    name: str
    title: str
    words: str
    wire: tuple[WireRule, ...] = Field(min_length=1)
    group: GroupRule
    fuse: FuseRule
    drop: DropRule
    alternator: AlternatorRule

    def ampacity(self, size: WireSize, insulation: str) -> Rated | None:
        """Printed current of a conductor, or None where nothing is on file.

        The first rule that suits the insulation and prints a row no larger than the conductor answers.
        """
        return _ampacity(self, str(size), insulation)

    def group_factor(self, count: NDArray[np.int64]) -> Floats:
        """Factor for `count` loaded conductors in one run; past the printed end the last row's law is not stretched:
        the smallest printed factor is halved, which no published table goes below for a car's loom."""
        if self.group.table is None:
            return np.ones(np.shape(count))
        return _group_factors(self.group.table)[np.minimum(count, _MOST)]

    def fuse_k(self, ambient_c: Floats) -> Floats:
        """Ambient factor of the fuse, 1 at 25 °C and below; NaN above the end of the published curve."""
        if self.fuse.ambient == "none":
            return np.ones(np.shape(ambient_c))
        temperatures, fractions = fuses.ambient_fractions().value
        k = np.interp(ambient_c, temperatures, fractions, right=np.nan) / np.interp(_RULE_C, temperatures, fractions)
        return np.asarray(np.minimum(k, 1.0))

    def largest_fuse_a(self, area_mm2: Floats, ampacity_a: Floats) -> Floats:
        """Largest fuse a wire allows, in A: a multiple of its derated ampacity, or a printed row."""
        if self.fuse.wire_table is not None:
            rows = ampacity.protector_rows(self.fuse.wire_table)
            return np.asarray(np.vectorize(rows.largest_fuse_for_area, otypes=[float])(area_mm2))
        return (self.fuse.wire_multiple or 1.0) * ampacity_a

    def drop_limit(self, drop_class: str, system_v: float, use: str = "continuous") -> Cited[float] | None:
        """Permitted drop in V for a kind of circuit."""
        return drops.drop_limit(self.drop.table, drop_class, system_v, use)

    @property
    def drop_covers_return(self) -> bool:
        """Whether the printed drop is for both leads together, or for the supply lead alone."""
        return drops.covers_return(self.drop.table)


_MOST = 200
_RULE_C = 25.0
"""Ambient the 75 % rule for continuous loads is stated at; the published curve is taken relative to it, so that
its own margin is not counted twice."""


@lru_cache(maxsize=64)
def _group_factors(table: str) -> Floats:
    counts = np.arange(_MOST + 1)
    printed = np.ones(_MOST + 1)
    printed[1:] = factors.group_factor(table, counts[1:])
    lost = np.isnan(printed)
    if lost.any():
        printed[lost] = 0.5 * np.nanmin(printed)
    return printed


@lru_cache(maxsize=4096)
def _ampacity(guidance_: Guidance, size: str, insulation: str) -> Rated | None:
    wire = WireSize.read(size)
    try:
        conductor = conductors.conductor(wire.system, wire.name)
        covering = insulations.insulation(insulation)
    except TableError:
        return None
    for rule in guidance_.wire:
        if covering.wall not in rule.walls:
            continue
        try:
            rows = ampacity.ampacity_rows(rule.table, covering.max_c if rule.by_class else None)
        except TableError:
            continue
        base = float(rows.at(conductor.area_mm2))
        if math.isnan(base):
            continue
        max_c = covering.max_c
        if rule.by_class and rows.max_c is not None:
            max_c = min(max_c, rows.max_c)
        rise = rule.rise_k if rule.rise_k is not None else max_c - (rule.reference_c or 30.0)
        return Rated(base, max_c, rise, rule.largest_factor, rows.source, rule.basis)
    return None


def _read(text: str, where: str) -> Guidance:
    try:
        return Guidance.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise GuidanceError(f"{where}: not TOML: {error}") from None
    except ValidationError as error:
        first: Any = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"])
        raise GuidanceError(f"{where}: '{place}': {first['msg']}") from None


@lru_cache(maxsize=1)
def names() -> tuple[str, ...]:
    """Names of the guidance shipped, the default first."""
    found = sorted(entry.name[:-5] for entry in (files("fuseplan.guidance") / "data").iterdir()
                   if entry.name.endswith(".toml"))
    return tuple(sorted(found, key=lambda name: name != "road"))


@lru_cache(maxsize=32)
def guidance(name: str, read_own: Callable[[str], str | None] | None = None) -> Guidance:
    """The guidance of that name.

    Parameters
    ----------
    name : str
        A shipped guidance.

    Raises
    ------
    GuidanceError
        No such guidance; the message lists the names that are on file.
    """
    if name in names():
        text = (files("fuseplan.guidance") / "data" / f"{name}.toml").read_text(encoding="utf-8")
        return _read(text, f"guidance {name}")
    if read_own is not None and (own := read_own(name)) is not None:
        return _read(own, f"guidance {name}")
    raise GuidanceError(f"'{name}' is not a guidance on file; accepted is {', '.join(names())}")
