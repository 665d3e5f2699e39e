"""Building practice: pull-out force of crimps, support spacing, clearances."""

from __future__ import annotations

from fuseplan.errors import TableError
from fuseplan.tables.load import Cited, Table, table

_COLUMNS = {"commercial": "te_114_2161_pull_out", "military": "te_114_2157_pull_out"}


def pull_out_n(awg: str, column: str = "commercial") -> Cited[float] | None:
    """Least pull-out force in N of a crimp on a wire; None when not printed.

    ``column`` is commercial or military. Raises TableError for another.
    """
    if column not in _COLUMNS:
        raise TableError(f"no pull-out column '{column}'; accepted are commercial and military")
    return table(_COLUMNS[column]).cited("awg", awg, f"{column}_n")


def clip_spacing() -> Table:
    """Largest distance between loom supports; the sources disagree."""
    return table("clip_spacing")


def clearances() -> Table:
    """Least clearance of wires from exhaust, fuel line, brake pipe, battery and panel edges."""
    return table("routing_clearances")
