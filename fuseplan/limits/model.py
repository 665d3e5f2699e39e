"""A set of limits: which published tables and factors a plan is judged by, as data with a source beside each figure."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from pydantic import Field, ValidationError

from fuseplan.array_types import Floats
from fuseplan.errors import LimitsError
from fuseplan.formulas.fuse import largest_fuse, share_left
from fuseplan.limits.rated import Ceiling, Part, Positive, Rated, WireRule, ceiling, one_of, rate
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import ampacity, drops, factors, fuses
from fuseplan.tables.load import Cited
from fuseplan.trace import apply, bare, decided, given, smaller

Share = Annotated[float, Field(gt=0, le=1)]
GroupTable = Annotated[str, one_of(factors.GROUPS, "grouping table")]
ProtectorTable = Annotated[str, one_of(("ac43_t11_3", "bodybuilder_2015"), "wire-and-fuse table")]
DropTable = Annotated[str, one_of(drops.LIMITS, "drop table")]


class GroupRule(Part):
    """How conductors that share a run heat each other."""

    table: GroupTable | None = None
    counted_from: float = Field(0.0, ge=0, le=1)
    """A conductor counts when it carries more than this share of what it may carry beside all that count."""
    basis: str


class FuseRule(Part):
    """What a fuse may carry, and what it may guard."""

    continuous_share: Share
    intermittent_share: Share = 1.0
    ambient: Literal["none", "blade"] = "none"
    """"blade": the published ambient curve of blade fuses; "none": no ambient factor printed."""
    ambient_reference_c: float = 25.0
    """Ambient the share is stated at; the curve is taken relative to it, so that its own margin is not counted
    twice."""
    wire_multiple: Positive | None = None
    """Largest fuse as a multiple of the wire's derated ampacity."""
    wire_table: ProtectorTable | None = None
    """Or: the fuse printed for the wire, cut as far as the wire's ampacity is below the printed one."""
    continuous_source: str
    wire_source: str


class DropRule(Part):
    """Permitted drops."""

    table: DropTable
    lamp_share: Share | None = None
    return_limit_v: Positive | None = None
    return_source: str | None = None


class VoltageRule(Part):
    """Voltages loads are taken at where a wire, a fuse or a contact is chosen for them."""

    lowest_running_v: Positive
    """Lowest voltage of a 12 V system with the engine running: what a load of constant power is taken at."""
    lowest_running_source: str


class ReturnLimit(NamedTuple):
    """What may be lost on the earth side."""

    volts: float
    source: str


class AlternatorRule(Part):
    """Permitted load of the alternator."""

    continuous_share: Share
    peak_share: Share
    continuous_source: str
    peak_source: str


class LimitSet(Part):
    """One set of published limits."""

    # Hashed by identity: it is a key of caches on every path of the engine, and its fields are many.
    __hash__ = object.__hash__

    name: str = Field(pattern=r"^[a-z0-9_]{1,40}$")
    title: str
    words: str
    wire: tuple[WireRule, ...] = Field(min_length=1)
    group: GroupRule
    fuse: FuseRule
    drop: DropRule
    voltage: VoltageRule = Field(default_factory=lambda: _usual_voltage())
    alternator: AlternatorRule

    def ampacity(self, size: WireSize, insulation: str) -> Rated | None:
        """Printed current of a conductor, or None where nothing is on file.

        The first rule that suits the insulation and prints a row no larger than the conductor answers.
        """
        return _ampacity(self, str(size), insulation)

    def ceiling(self, size: WireSize, insulation: str) -> Ceiling | None:
        """What a conductor is rated for at most of which nothing is on file: the next printed size and class that are
        no less than its own."""
        return _ceiling(self, str(size), insulation)

    def group_factor(self, count: NDArray[np.int64]) -> Floats:
        """Factor for `count` loaded conductors in one run; past the printed end the last row's law is not stretched:
        the smallest printed factor is halved, which no published table goes below for a car's loom."""
        table = self.group.table
        if table is None:
            return np.asanyarray(given(np.ones(np.shape(count)), "g", "-", self.group.basis, f"limits {self.name}"))
        return np.asanyarray(decided(
            _group_factors(table)[np.minimum(count, _MOST)], "g", "-", lambda *place: f"{int(count[place])} conductors "
            f"counted{factors.conductors_count_as(table)}, itself included; {self.group.basis}",
            lambda *_: factors.group_source(table).line()))

    def fuse_k(self, ambient_c: Floats) -> Floats:
        """Ambient factor of the fuse, 1 at the share's own ambient and below; NaN past the published curve's end."""
        plain: Floats = bare(ambient_c)
        if self.fuse.ambient == "none":
            return np.asanyarray(given(np.ones(np.shape(plain)), "f", "-", "no ambient factor is printed",
                                       f"limits {self.name}"))
        reference = self.fuse.ambient_reference_c
        return np.asanyarray(decided(
            fuses.ambient_k(plain, reference), "f", "-", lambda index: "what the fuse may carry at "
            f"{writing.burden(float(plain[index]), '°C')} over what it may at {writing.stated(reference, '°C')}, "
            "straight line between the printed temperatures, at most 1",
            lambda _: fuses.ambient_fractions().source.line(), ambient_c))

    def largest_fuse_a(self, area_mm2: Floats, ampacity_a: Floats, base_a: Floats) -> Floats:
        """Largest fuse a wire allows, in A.

        Args:
            area_mm2: array (S,)
            ampacity_a: derated ampacity; NaN where nothing is on file, and then so is the answer (S,)
            base_a: printed ampacity before ambient and grouping (S,)
        Returns:
            array (S,): a multiple of the derated ampacity; or the printed fuse of the row, cut in the proportion in
            which the derated ampacity is below the printed one.
        """
        if self.fuse.wire_table is not None:
            rows = ampacity.protector_rows(self.fuse.wire_table)
            printed = decided(rows.largest_fuse_for_area(bare(area_mm2)), "Iᵣ", "A", "fuse printed for the wire, next "
                              "row down", rows.source.line(), area_mm2)
            cut = smaller("cut as far as the wire's ampacity is below the printed one",
                          apply(share_left, ampacity=ampacity_a, printed=base_a),
                          given(1.0, "m", "-", "never more than printed", f"limits {self.name}"))
            return np.asanyarray(apply(largest_fuse, ampacity=printed, multiple=cut))
        multiple = given(self.fuse.wire_multiple or 1.0, "m", "-", "largest fuse as a multiple of the wire's ampacity",
                         self.fuse.wire_source)
        return np.asanyarray(apply(largest_fuse, ampacity=ampacity_a, multiple=multiple))

    def most_fuse_a(self, area_mm2: float, ampacity_a: float, base_a: float) -> float:
        """Largest fuse for a wire in A, of one thinner than a table of fuses goes that of its thinnest row; NaN where
        the ampacity is not known."""
        if self.fuse.wire_table is not None:
            area_mm2 = max(area_mm2, float(ampacity.protector_rows(self.fuse.wire_table).area_mm2[0]))
        return float(self.largest_fuse_a(np.array([area_mm2]), np.array([ampacity_a]), np.array([base_a]))[0])

    def drop_limit(self, drop_class: str, system_v: float, use: str = "continuous") -> Cited[float] | None:
        """Permitted drop in V for a kind of circuit."""
        return drops.drop_limit(self.drop.table, drop_class, system_v, use)

    def drop_counts_from_switch(self, drop_class: str) -> bool:
        """Whether that drop counts from the supply terminal of the circuit's switch, not from the battery."""
        return drops.counts_from_switch(self.drop.table, drop_class)

    def return_limit(self, cranking: bool, system_v: float) -> ReturnLimit | None:
        """Permitted drop of the earth side; while cranking that of a starter circuit, for whatever shares its strap.
        None where the limit covers both leads together, or nothing limits it."""
        if self.drop_covers_return or self.drop.return_limit_v is None:
            return None
        starter = drops.starter_return()
        volts, source = (starter.value, starter.source.line()) if cranking else \
            (self.drop.return_limit_v, self.drop.return_source or "")
        return ReturnLimit(volts * system_v / 12.0, source)

    @property
    def drop_covers_return(self) -> bool:
        """Whether the printed drop is for both leads together, or for the supply lead alone."""
        return drops.covers_return(self.drop.table)


def _usual_voltage() -> VoltageRule:
    """The rule of the default set, for a set that has none of its own."""
    return limit_set(names()[0]).voltage


_MOST = 200


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
def _ampacity(limit_set_: LimitSet, size: str, insulation: str) -> Rated | None:
    return rate(limit_set_.wire, WireSize.read(size), insulation)


@lru_cache(maxsize=1024)
def _ceiling(limit_set_: LimitSet, size: str, insulation: str) -> Ceiling | None:
    return ceiling(limit_set_.wire, WireSize.read(size), insulation)


def parse(text: str, where: str) -> LimitSet:
    """A set of limits from the text of its file.

    Raises:
        LimitsError: ``where: 'place': what is wrong``, everything that is wrong on a line of its own.
    """
    try:
        return LimitSet.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise LimitsError(f"{where}: not TOML: {error}") from None
    except ValidationError as error:
        raise LimitsError("\n".join(_sentence(where, each) for each in error.errors())) from None


def _sentence(where: str, error: Any) -> str:
    place = ".".join(str(part) for part in error["loc"])
    return f"{where}: '{place}': {str(error['msg']).removeprefix('Value error, ')}"


DATA = Path(__file__).parent / "data"


@lru_cache(maxsize=1)
def names() -> tuple[str, ...]:
    """Names of the sets of limits shipped, the default first."""
    found = sorted(file.stem for file in DATA.glob("*.toml"))
    return tuple(sorted(found, key=lambda name: name != "road"))


@lru_cache(maxsize=32)
def limit_set(name: str) -> LimitSet:
    """The shipped set of limits of that name.

    Raises:
        LimitsError: No such set; the message lists those that are on file.
    """
    if name not in names():
        raise LimitsError(f"'{name}' is not a set of limits on file; accepted is {', '.join(names())}")
    text = (DATA / f"{name}.toml").read_text(encoding="utf-8")
    return parse(text, f"limits {name}")
