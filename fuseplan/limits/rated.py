"""What the ampacity rules of a set of limits say of a conductor: the printed current, and how far it may be carried."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Annotated, Literal, NamedTuple

import numpy as np
from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from fuseplan.errors import TableError
from fuseplan.formulas.thermal import rise_factor
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import ampacity, conductors, insulations
from fuseplan.tables.insulations import Insulation
from fuseplan.tables.load import Cited, Source
from fuseplan.trace import apply, decided, given, number

NEAR_MM2 = 1e-6
HOTTEST_LAW_C = 30.0
"""Reference ambient of a table that states neither a rise nor an ambient: the common one of building wire."""


class Part(BaseModel):
    """Base of the parts of a set of limits: frozen, unknown keys refused, no infinities."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


def one_of(known: tuple[str, ...], what: str) -> AfterValidator:
    """A validator that accepts the names of tables on file, and says which there are."""

    def accept(name: str) -> str:
        if name not in known:
            raise ValueError(f"no {what} '{name}'; accepted are {', '.join(known)}")
        return name

    return AfterValidator(accept)


AmpacityTable = Annotated[str, one_of(ampacity.AMPACITIES, "current table")]
Positive = Annotated[float, Field(gt=0)]


class WireRule(Part):
    """One ampacity table and how far it may be carried to other ambients."""

    table: AmpacityTable
    walls: tuple[Literal["standard", "thin"], ...] = ("standard", "thin")
    by_class: bool = False
    """The table prints a column for each insulation class."""
    load_column: bool = False
    """The table pairs load, fuse and wire: the load it prints for the wire is taken as its current."""
    rise_k: Positive | None = None
    """Conductor rise the printed currents stand for; the square-root law is applied to it."""
    reference_c: float | None = None
    """Ambient of the printed currents, where rise and insulation class are printed by column."""
    largest_factor: Positive | None = None
    """The ambient factor never exceeds this; left out: it may raise the printed current in the cold."""
    engine_space: bool = False
    """Above `reference_c` the engine-space factor of 33 CFR 183.425 note 1 holds, where the law gives no less."""
    least_class_c: float | None = None
    """Lowest insulation class the table holds for."""
    hot_class_c: float | None = None
    """Lowest insulation class the table holds for in a zone hotter than `hot_above_c`."""
    hot_above_c: float | None = None
    basis: str


class Rated(NamedTuple):
    """What the limits say of one size and insulation, before ambient and grouping.

    The ambient factor is √((max_c − ambient) / rise_k), at most `largest_factor`, and above `reference_c` at most
    `warm_factor`. Above `highest_c` nothing is on file.
    """

    base_a: float
    max_c: float
    rise_k: float
    largest_factor: float
    source: Source
    basis: str
    reference_c: float = math.inf
    warm_factor: float = 1.0
    warm_source: Source | None = None
    highest_c: float = math.inf
    row: str = ""
    """The printed row that answered, in words."""
    printed_c: float | None = None
    """Conductor temperature or insulation class the printed current is for, where the table says so."""
    by_class: bool = False
    """The table prints a column for each insulation class."""
    insulation: str = ""

    def ambient_factor(self, ambient_c: float) -> float:
        """Factor at an ambient in °C: 0 at or above the conductor's limit, NaN where nothing is on file."""
        if ambient_c > self.highest_c:
            return math.nan
        top = given(self.max_c, "Tₘ", "°C", "what its insulation is rated for under this set of limits",
                    lambda: self.class_source)
        if ambient_c > self.max_c:
            top = decided(float(ambient_c), "Tₘ", "°C", "the ambient is above that: nothing is left", "definition", top,
                          ambient_c)
        rise = given(self.rise_k, "Δθ", "K", "conductor rise the printed current stands for", self.basis)
        factor = number(apply(rise_factor, max_c=top, ambient_c=ambient_c, rise_k=rise))
        if factor > self.largest_factor:
            factor = decided(self.largest_factor, "f", "-", "the printed current is never raised", self.basis, factor)
        if ambient_c > self.reference_c and factor > self.warm_factor:
            warm = self.warm_source
            factor = decided(
                self.warm_factor, "f", "-", lambda: f"above {writing.stated(self.reference_c, '°C')} the engine-space "
                "factor of the class", lambda: self.basis if warm is None else warm.line(), factor)
        return factor

    @property
    def class_source(self) -> str:
        """Where the conductor's limit comes from."""
        return self.source.line() if self.by_class else insulations.insulation(self.insulation).source.line()


def rate(rules: tuple[WireRule, ...], size: WireSize, insulation: str) -> Rated | None:
    """The answer of the first rule that suits; None where none does.

    A rule suits where the insulation's wall and class are what its table is for, and the table prints a row no
    larger than the conductor. A conductor larger than all tables go is rated as the largest printed one.
    """
    try:
        conductor = conductors.conductor(size.system, size.name)
        covering = insulations.insulation(insulation)
    except TableError:
        return None
    suiting = [rule for rule in rules if covering.wall in rule.walls
               and covering.max_c >= (rule.least_class_c or -math.inf)]
    for rule in suiting:
        found = _by_rule(rule, conductor.area_mm2, covering)
        if found is not None:
            return found
    ends = [(float(rows.area_mm2[-1]), rule) for rule in suiting if (rows := _rows(rule, covering)) is not None]
    end, last = max(ends, key=lambda each: each[0], default=(math.inf, None))
    return _by_rule(last, end, covering) if last is not None and conductor.area_mm2 > end else None


class Ceiling(NamedTuple):
    """What bounds a conductor from above of which nothing is on file: the next that is rated for no less."""

    rated: Rated
    area_mm2: float
    """Of the row that answers."""
    words: tuple[str, ...]
    """In what that one is better: the thinnest size on file, the lowest class, the hottest place."""
    key: Literal["size", "insulation"]
    """What has to change for it to be on file."""

    def factor(self, ambient_c: float) -> float:
        """Ambient factor at an ambient in °C, past the hottest on file that of the hottest."""
        return self.rated.ambient_factor(min(ambient_c, self.rated.highest_c))

    def words_at(self, ambient_c: float) -> str:
        """In what it is better than a wire at an ambient in °C."""
        top = self.rated.highest_c
        hot = (f"{writing.stated(top, '°C')}, the hottest place on file for its insulation",) if ambient_c > top else ()
        return "; ".join((*self.words, *hot))


def ceiling(rules: tuple[WireRule, ...], size: WireSize, insulation: str) -> Ceiling | None:
    """The bound of a conductor thinner than the tables go, or of an insulation below their lowest class: the thinnest
    row and the lowest class on file that are no less than its own, also where it is hotter than a table goes. None
    where none is."""
    try:
        conductor = conductors.conductor(size.system, size.name)
        covering = insulations.insulation(insulation)
    except TableError:
        return None
    found: list[tuple[float, Ceiling]] = []
    for rule in rules:
        lowest = max(rule.least_class_c or -math.inf, min(ampacity.classes_of(rule.table), default=-math.inf)
                     if rule.by_class else -math.inf)
        raised = replace(covering, max_c=max(covering.max_c, lowest))
        rows = _rows(rule, raised) if covering.wall in rule.walls else None
        if rows is None:
            continue
        area = float(np.clip(conductor.area_mm2, rows.area_mm2[0], rows.area_mm2[-1]))
        rated = _by_rule(rule, area, raised)
        if rated is not None:
            is_thin, is_weak = area > conductor.area_mm2, raised.max_c > covering.max_c
            words = (*((f"{rated.row.removeprefix('row ')}, the thinnest on file",) if is_thin else ()),
                     *((f"insulation for {writing.stated(raised.max_c, '°C')}, the lowest class on file",)
                       if is_weak else ()))
            found.append((area, Ceiling(rated, area, words, "size" if is_thin else "insulation")))
    return min(found, key=lambda each: each[0])[1] if found else None


def _rows(rule: WireRule, covering: Insulation) -> ampacity.AmpacityTable | None:
    try:
        return ampacity.ampacity_rows(rule.table, covering.max_c if rule.by_class else None)
    except TableError:
        return None


def _by_rule(rule: WireRule, area_mm2: float, covering: Insulation) -> Rated | None:
    rows = _rows(rule, covering)
    if rows is None:
        return None
    index = int(np.searchsorted(rows.area_mm2, area_mm2 + NEAR_MM2, side="right")) - 1
    base = float(_loads(rule.table, area_mm2) if rule.load_column else rows.at(area_mm2))
    if math.isnan(base):
        return None
    max_c = covering.max_c
    if rule.by_class and rows.max_c is not None:
        max_c = min(max_c, rows.max_c)
    reference = rule.reference_c if rule.reference_c is not None else HOTTEST_LAW_C
    warm = _engine_space(max_c) if rule.engine_space else None
    hot_fails = rule.hot_class_c is not None and covering.max_c < rule.hot_class_c
    return Rated(
        base_a=base, max_c=max_c, rise_k=rule.rise_k if rule.rise_k is not None else max_c - reference,
        largest_factor=math.inf if rule.largest_factor is None else rule.largest_factor, source=rows.source,
        basis=rule.basis, reference_c=math.inf if warm is None else reference,
        warm_factor=1.0 if warm is None else warm.value, warm_source=None if warm is None else warm.source,
        highest_c=rule.hot_above_c if hot_fails and rule.hot_above_c is not None else math.inf,
        row=_row_words(rows.names[index], float(rows.area_mm2[index])), printed_c=rows.max_c,
        by_class=rule.by_class, insulation=covering.name,
    )


def _loads(table: str, area_mm2: float) -> float:
    """Largest load printed for a wire in a table of load, fuse and wire; the last of equal sizes, none past the end."""
    rows = ampacity.protector_rows(table)
    index = int(np.searchsorted(rows.area_mm2, area_mm2 + NEAR_MM2, side="right")) - 1
    if index < 0 or area_mm2 > rows.area_mm2[-1] + NEAR_MM2:
        return math.nan
    return float(rows.load_a[index])


def _engine_space(class_c: float) -> Cited[float] | None:
    try:
        return ampacity.engine_space_factor_cfr(class_c)
    except TableError:
        return None


def _row_words(name: str, area_mm2: float) -> str:
    return f"row {name} mm²" if name == writing.stated(area_mm2) else f"row {name} ({writing.limit(area_mm2, 'mm²')})"
