"""Fuses, fusible links and circuit breakers: kinds, ratings, colours, resistance, limits.

Opening times are in ``time_current``, and offered here too. The printed currents over the ambient temperature are load
limits already, with a margin inside; ``ambient_k`` is what goes with a separate continuous-load share.
"""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.load import Cited, Source, of_name, table
from fuseplan.tables.time_current import TimeCurrent as TimeCurrent
from fuseplan.tables.time_current import time_current as time_current
from fuseplan.tables.time_current import time_current_documents as time_current_documents


@dataclass(frozen=True)
class FuseKind:
    """One kind of protective device.

    ``iso_type`` is the letter of ISO 8820; ``reset`` how a breaker closes again (SAE J553): automatic, modified (stays
    open while the supply is on) or manual.
    """

    id: str
    words: str
    iso_type: str | None = None
    standard: str | None = None
    reset: str = ""


# Type letters: ISO 8820 as listed by an open standard's enumeration of fuse types; N and P for micro2
# and micro3 from memory. Breaker types: SAE J553 (July 2016).
KINDS: dict[str, FuseKind] = {
    kind.id: kind
    for kind in (
        FuseKind("mini", "mini blade fuse", "F", "ISO 8820-3"),
        FuseKind("blade", "standard blade fuse", "C", "ISO 8820-3"),
        FuseKind("maxi", "maxi blade fuse", "E", "ISO 8820-3"),
        FuseKind("micro2", "micro2 blade fuse", "N", "ISO 8820-12"),
        FuseKind("micro3", "micro3 blade fuse, three tabs", "P", "ISO 8820-13"),
        FuseKind("jcase", "cartridge fuse, female contacts", "A1", "ISO 8820-4"),
        FuseKind("midi", "midi bolt-in fuse", "SF30", "ISO 8820-5"),
        FuseKind("mega", "mega bolt-in fuse", "SF51", "ISO 8820-5"),
        FuseKind("strip", "strip fuse", "SF", "ISO 8820-5"),
        FuseKind("glass", "glass cartridge fuse", None, "SAE J554"),
        FuseKind("glass_british", "British glass cartridge fuse", None, "from memory: rated by what it carries, "
                 "marked with twice that, at which it blows"),
        FuseKind("ceramic", "ceramic fuse (continental, torpedo)", None, "DIN 72581-1"),
        FuseKind("link", "fusible link", None, "SAE J156"),
        FuseKind("breaker_1", "circuit breaker, automatic reset", "CB15", "SAE J553 type I", "automatic"),
        FuseKind("breaker_2", "circuit breaker, modified reset", None, "SAE J553 type II", "modified"),
        FuseKind("breaker_3", "circuit breaker, manual reset", None, "SAE J553 type III", "manual"),
    )
}

_ELECTRICAL = {
    "mini": "littelfuse_297_mini_electrical",
    "blade": "littelfuse_287_2025_atof_electrical",
    "maxi": "littelfuse_299_2025_maxi_electrical",
}

# Kinds whose ratings are the rows of a printed table.
_LADDERS = {
    "mini": "littelfuse_297_mini_electrical",
    "blade": "littelfuse_287_2022_atof_ambient",
    "maxi": "din_72581_3_form_e_currents",
    "ceramic": "din_72581_1_torpedo_colours",
}
_LADDERS_BY_KIND = ("service_information_2011_cartridge_colours", "fuse_ladders_from_memory")

# Mean of the printed ratios of the sheet's neighbours, for rows whose drop was not quoted.
_ESTIMATED_HOT_OVER_COLD = 1.45


def kind_words(kind: str) -> str:
    """A type of fuse in the middle of a sentence, an ``s`` makes it many: ``mini blade fuse``, ``circuit breaker``; as
    the plan has it where none of that id is known."""
    return KINDS[kind].words.partition(",")[0].partition(" (")[0] if kind in KINDS else f"{kind} fuse"


def fuse_kind(kind: str) -> FuseKind:
    """The kind of that id. Raises TableError naming the accepted ones."""
    return of_name(KINDS, kind, "fuse kind")


def ratings(kind: str) -> Cited[tuple[float, ...]] | None:
    """Ratings in A in which a kind is sold, ascending; None when no list is on file."""
    fuse_kind(kind)
    if kind in _LADDERS:
        source_table = table(_LADDERS[kind])
        return Cited(tuple(source_table.array("rating_a").tolist()), source_table.citation)
    # A colour list names only some bolt-in ratings, so it is a ladder for cartridges alone.
    for name in _LADDERS_BY_KIND[:1] if kind == "jcase" else _LADDERS_BY_KIND[1:]:
        source_table = table(name)
        kinds = source_table.texts("kind")
        found = tuple(float(r) for k, r in zip(kinds, source_table.array("rating_a"), strict=True) if k == kind)
        if found:
            return Cited(found, source_table.citation)
    return None


def colour(kind: str, rating_a: float) -> Cited[str] | None:
    """Colour printed for a rating, or None. DIN comes first for maxi; lists disagree on maxi 70 A."""
    fuse_kind(kind)
    if kind in ("jcase", "midi", "mega"):
        cartridges = table("service_information_2011_cartridge_colours")
        for row in cartridges.rows():
            if row["kind"] == kind and row["rating_a"] == rating_a:
                return Cited(str(row["colour"]), cartridges.citation)
        return None
    lists = [("blade_colours_2015", kind)] if kind in ("mini", "blade", "maxi") else []
    if kind == "maxi":
        lists.insert(0, ("din_72581_3_form_e_currents", "colour"))
    if kind == "ceramic":
        lists.append(("din_72581_1_torpedo_colours", "colour"))
    for name, heading in lists:
        source_table = table(name)
        found = source_table.row("rating_a", float(rating_a))
        if found is not None and isinstance(found[heading], str):
            return Cited(str(found[heading]), source_table.citation)
    if kind in ("micro2", "micro3"):
        shared = colour("mini", rating_a)
        document = "memory: as mini fuses for the ratings they share"
        memory = Source("Micro blade fuse colours", document, "none", "memory")
        return None if shared is None else Cited(shared.value, memory)
    return None


def _electrical(kind: str, rating_a: float, heading: str) -> Cited[float] | None:
    fuse_kind(kind)
    if kind not in _ELECTRICAL:
        return None
    return table(_ELECTRICAL[kind]).cited("rating_a", float(rating_a), heading)


def cold_resistance_ohm(kind: str, rating_a: float) -> Cited[float] | None:
    """Cold resistance in ohm, or None. Makers differ by about 15 %, at regular 25 A by more."""
    found = _electrical(kind, rating_a, "cold_mohm")
    return None if found is None else Cited(found.value / 1000, found.source)


def cold_resistance_at_most_ohm(kind: str, rating_a: float) -> Cited[float] | None:
    """Cold resistance in ohm that a rating does not exceed: its own, else that of the next smaller rating printed.

    For drops and for the least a short can draw, where too little resistance would flatter. None where nothing of the
    type is printed below either.
    """
    ladder = ratings(kind)
    smaller = () if ladder is None else tuple(step for step in ladder.value if step < rating_a)
    for step in (rating_a, *reversed(smaller)):
        found = cold_resistance_ohm(kind, step)
        if found is not None:
            if step == rating_a:
                return found
            place = f"{found.source.place}; the {writing.rating(step)} row, the next smaller one printed"
            return Cited(found.value, Source(found.source.title, found.source.document, place, found.source.how))
    return None


def drop_mv(kind: str, rating_a: float) -> Cited[float] | None:
    """Typical voltage drop in mV at rated current, where printed."""
    return _electrical(kind, rating_a, "typical_drop_mv")


def hot_over_cold(kind: str, rating_a: float) -> Cited[float] | None:
    """Resistance at rated current over cold resistance: from the printed drop, or estimated at 1.45."""
    cold = cold_resistance_ohm(kind, rating_a)
    if cold is None:
        return None
    drop = drop_mv(kind, rating_a)
    ratio = _ESTIMATED_HOT_OVER_COLD if drop is None else drop.value / 1000 / (rating_a * cold.value)
    place = cold.source.place + ("; drop not printed, ratio estimated" if drop is None else "")
    return Cited(ratio, Source("Hot over cold resistance", cold.source.document, place, "derived"))


def melting_i2t_a2s(kind: str, rating_a: float) -> Cited[float] | None:
    """Typical melting I²t in A²s, where printed. Not a limit, and not the total clearing energy."""
    return _electrical(kind, rating_a, "melting_i2t_a2s")


@cache
def voltage_rating_v(kind: str) -> Cited[float] | None:
    """Rated voltage in V of the kind's lowest variant, or None."""
    fuse_kind(kind)
    return table("iso_8820_scopes").cited("kind", kind, "voltage_v")


@cache
def largest_covered_a(kind: str) -> Cited[float] | None:
    """Largest rating in A that the kind's standard covers, or None; a British glass fuse is of the same tube."""
    fuse_kind(kind)
    if kind in ("glass", "glass_british"):
        glass = table("ul_248_14_time_current")
        return Cited(float(np.max(glass.array("rating_to_a"))), glass.citation)
    return table("iso_8820_scopes").cited("kind", kind, "largest_a")


@cache
def breaking_capacity_a(kind: str) -> Cited[float] | None:
    """Breaking capacity in A at rated voltage, or None; the lower of the standard and a maker's sheet."""
    fuse_kind(kind)
    found = [
        cited
        for name in ("iso_8820_scopes", "littelfuse_bolt_in_ratings")
        if (cited := table(name).cited("kind", kind, "breaking_a")) is not None
    ]
    return min(found, key=lambda cited: cited.value) if found else None


@lru_cache(maxsize=64)
def pulse_fraction(pulses: float) -> Cited[float]:
    """Largest pulse I²t as a fraction of melting I²t, for a number of pulses (next row up).

    Raises TableError beyond 100 000 pulses, where nothing is printed.
    """
    chart = table("littelfuse_catalogue_2017_pulse")
    counts = chart.array("pulses")
    index = int(np.searchsorted(counts, pulses, side="left"))
    if index >= counts.size or pulses <= 0:
        raise TableError(f"no pulse fraction for {writing.stated(pulses)} pulses; the chart covers 1 to "
                         f"{writing.stated(counts[-1])}")
    return Cited(float(chart.array("fraction")[index]), chart.citation)


_FRACTIONS = "littelfuse_287_2022_atof_ambient_fractions"


def ambient_fractions() -> Cited[tuple[Floats, Floats]]:
    """Temperatures in °C and the allowed share of the rating at each, both of shape (rows,)."""
    curve = table(_FRACTIONS)
    return Cited((curve.array("ambient_c"), curve.array("fraction")), curve.citation)


def ambient_k(ambient_c: ArrayLike, reference_c: float) -> Floats:
    """Ambient factor that is 1 at the ambient a load share is stated at, to be multiplied by that share.

    The shares over that at the reference, on a straight line between the rows, at most 1: so the margin inside the
    table is not counted twice. NaN above 125 °C, the curve's end.
    """
    temperatures, fractions = ambient_fractions().value
    share = np.interp(np.asarray(ambient_c, dtype=float), temperatures, fractions, right=np.nan)
    return np.asarray(np.minimum(share / np.interp(reference_c, temperatures, fractions), 1.0))


def hottest_c() -> float:
    """The hottest ambient the curve goes to, in °C."""
    return float(ambient_fractions().value[0][-1])
