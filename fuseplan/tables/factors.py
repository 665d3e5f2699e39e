"""Grouping factors as published.

The grouping tables count different things, circuits, conductors or wires, and assume every member fully loaded.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.records import dataclass
from fuseplan.tables.load import Source, of_name, table


@dataclass(frozen=True)
class _Group:
    table_name: str
    column: str
    counts: str


_GROUPS = {
    "vde_t21_bunched": _Group("vde_0298_4_2003_t21", "bunched", "circuits"),
    "vde_t21_layer": _Group("vde_0298_4_2003_t21", "single_layer", "circuits"),
    "vde_t26": _Group("vde_0298_4_2013_t26", "factor", "conductors"),
    "nec_adjustment": _Group("nec_2014_310_15_b3a", "factor", "conductors"),
    "cfr_note2": _Group("cfr_33_183_425_note2", "factor", "conductors"),
    "dc_load_manual": _Group("dc_load_manual_bundles", "factor", "wires"),
    "mil_std_975": _Group("mil_std_975_bundles", "factor", "wires"),
}
GROUPS: tuple[str, ...] = tuple(_GROUPS)

def _group(table_id: str) -> _Group:
    return of_name(_GROUPS, table_id, "grouping table")


def group_factor(table_id: str, count: ArrayLike) -> Floats:
    """Grouping factor for a number of members (any shape): next row up between printed counts.

    nan past the last printed count: nothing on file. A count of 0 or 1 is a member alone, factor 1.
    Raises TableError for an unknown table.
    """
    group = _group(table_id)
    counts = np.asarray(count, dtype=float)
    if table_id == "mil_std_975":
        # Remembered as a formula; its printed rows are rounded, so the formula answers.
        return np.asarray(np.where(counts > 15, 0.5, (29 - np.maximum(counts, 1)) / 28))
    printed = table(group.table_name)
    factors = np.append(printed.array(group.column), np.nan)
    found = factors[np.searchsorted(printed.array("count"), counts, side="left")]
    return np.asarray(np.where(counts <= 1, 1.0, found))


def group_source(table_id: str) -> Source:
    """Where a grouping table was printed."""
    return table(_group(table_id).table_name).citation


def conductors_count_as(table_id: str) -> str:
    """How the loaded conductors of a run are looked up, where the table counts something else: ``, each as …``."""
    counts = _group(table_id).counts
    return f", each as one of the table's {counts}" if counts == "circuits" else ""
