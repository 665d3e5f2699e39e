"""Contacts of connectors, and the wires of data buses: what is published on them."""

from __future__ import annotations

from functools import cache

from fuseplan.errors import TableError
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.conductors import conductor
from fuseplan.tables.load import Cited, Source, row_source, table

_TABLE = "contact_loading_factors"
SINGLE = "single"
MISPRINT = 1.01
"""A printed factor further above the product of the two at its margins is taken for a misprint, and the product for it:
all others lie within 1 %."""
PARALLEL_SHARE = 0.8
"""Two contacts side by side carry 1.6 times one, four 2.56 times: 20 % less each time their number doubles. A trade
page on connectors; a naval standard adds that contacts in parallel do not share evenly, and to follow the maker."""


@dataclass(frozen=True)
class Limit:
    """A published limit with its words and its source."""

    value: float
    words: str
    source: Source


@cache
def _gauges() -> tuple[tuple[float, str], ...]:
    """Area in mm² and heading of each printed gauge, the thinnest first."""
    headings = [heading for heading in table(_TABLE).columns if heading != "loaded_pct"]
    return tuple(sorted((conductor("AWG", heading.removeprefix("AWG ")).area_mm2, heading) for heading in headings))


@cache
def loading_factor(area_mm2: float, loaded_share: float | None) -> Cited[float] | None:
    """Share of the current of one contact, alone and on the thickest wire, that each contact may carry.

    Args:
        area_mm2: conductor in the contact, in mm²; the thickest printed gauge that is no thicker than it answers
        loaded_share: share of the connector's contacts that carry current, 0 to 1; None for a contact that is the only
            one. The next printed share up answers
    Returns:
        None for a wire thinner than any printed.
    Raises:
        TableError: The share is no share.
    """
    if loaded_share is not None and not 0.0 <= loaded_share <= 1.0:
        raise TableError(f"{writing.stated(loaded_share)} is no share of a connector's contacts; accepted is 0 to 1")
    fitting = [heading for area, heading in _gauges() if area <= area_mm2 * (1.0 + 1e-6)]
    if not fitting:
        return None
    printed, gauge, thickest = table(_TABLE), fitting[-1], _gauges()[-1][1]
    row = SINGLE
    if loaded_share is not None:
        row = next(each for each in printed.texts("loaded_pct") if each != SINGLE
                   and float(each) >= loaded_share * 100.0 * (1.0 - 1e-9))
    cell, alone, loaded = (printed.cited("loaded_pct", at, heading) for at, heading in (
        (row, gauge), (SINGLE, gauge), (row, thickest)))
    if cell is None or alone is None or loaded is None:
        raise TableError(f"table {_TABLE} has no number for {gauge} at {row}")
    product = alone.value * loaded.value
    return Cited(product if cell.value > product * MISPRINT else cell.value, cell.source)


def parallel_a(current_a: float, contacts: int) -> float:
    """Current in A of contacts in parallel by the rule of thumb of `PARALLEL_SHARE`, in full doublings: what is left
    over of their number adds nothing."""
    doublings = contacts.bit_length() - 1
    return float(current_a * (2.0 * PARALLEL_SHARE) ** doublings)


def stub_limits(rate: str | None) -> tuple[Limit, ...]:
    """Longest stub in m by each published rule for a bus of that rate, the strictest first; those that hold at any rate
    where it is not known."""
    printed = table("bus_stub_limits")
    found = [Limit(float(str(row["stub_m"])), str(row["words"]), row_source(printed, row))
             for row in printed.rows() if row["rate"] in ("any", rate)]
    return tuple(sorted(found, key=lambda limit: limit.value))


def twist_limits() -> tuple[Limit, ...]:
    """Fewest twists per metre by each published rule, the most lenient first."""
    printed = table("bus_twist_limits")
    return tuple(sorted((Limit(float(str(row["twists_per_m"])), str(row["words"]), row_source(printed, row))
                         for row in printed.rows()), key=lambda limit: limit.value))
