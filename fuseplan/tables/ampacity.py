"""Published current tables of wires, and tables that pair a wire with its protection.

Tables count different things and assume different surroundings; each says which. A current is taken
from the largest printed size that is not thicker than the wire: ratings go down, sizes go up.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.gauges import awg_area_mm2
from fuseplan.tables.load import Cited, Source, Table, table


@dataclass(frozen=True)
class _Entry:
    """How an ampacity id reads its table. ``classes`` are the insulation classes with a column each."""

    table_name: str
    current: str
    max_c: float | None = None
    reference_c: float | None = None
    rise_k: float | None = None
    classes: tuple[int, ...] = ()
    fuse_based: bool = False


_ENTRIES = {
    "vde_0298_4_t11": _Entry("vde_0298_4_2023_t11", "single_free_air_a", 70, 30),
    "thin_wall_uk": _Entry("uk_thin_wall_class_b", "current_a", 105, None, 40),
    "cfr_183_425_t5": _Entry("cfr_33_183_425_t5", "current_{}_a", None, 30, classes=(60, 75, 80, 90, 105, 125, 200)),
    "ac43_t11_9": _Entry("ac43_13_1b_t11_9", "current_{}_a", None, 70, classes=(105, 150, 200)),
    "nec_310_17": _Entry("nec_2014_310_17", "current_{}_a", None, 30, classes=(60, 75, 90)),
    "en61439_annex_h": _Entry("en_61439_1_annex_h", "spaced_a", 70, 55),
    "av_jis": _Entry("jis_c_3406_av", "current_a", 80, 40),
    "bs6862_uk": _Entry("bs_6862_uk", "current_a"),
    "etfe_motorsport": _Entry("etfe_motorsport_manual", "at_100_c_a", 150, 100),
    "dc_load_manual": _Entry("dc_load_manual_wires", "current_a", 105, 50),
    "pvc60_japan": _Entry("pvc60_japan", "current_a", 60, 30),
    "iec_60364_b2": _Entry("iec_60364_5_52_b2", "at_30_c_a", 70, 30),
    "ac43_t11_3": _Entry("ac43_13_1b_t11_3", "fuse_a", fuse_based=True),
    "bodybuilder_2015": _Entry("body_builder_2015_t1_158", "fuse_a", 105, 40, fuse_based=True),
}
AMPACITIES: tuple[str, ...] = tuple(_ENTRIES)
_NEAR_MM2 = 1e-6


@dataclass(frozen=True)
class AmpacityTable:
    """One current table.

    ``names`` and the arrays ``area_mm2`` and ``current_a`` have one entry a row, thinnest first. ``max_c`` is the
    conductor temperature of the currents, ``reference_c`` the ambient they are printed for, ``rise_k`` the conductor's
    rise where only that is known. ``fuse_based`` tables give the largest fuse instead of a current.
    """

    id: str
    names: tuple[str, ...]
    area_mm2: Floats
    current_a: Floats
    max_c: float | None
    reference_c: float | None
    rise_k: float | None
    fuse_based: bool
    source: Source
    note: str

    def at(self, area_mm2: ArrayLike) -> Floats:
        """Current in A of the largest printed size not thicker than ``area_mm2`` (any shape).

        nan below the first printed size and above the last: nothing on file.
        """
        areas = np.asarray(area_mm2, dtype=float)
        index = np.searchsorted(self.area_mm2, areas + _NEAR_MM2, side="right") - 1
        inside = (index >= 0) & (areas <= self.area_mm2[-1] + _NEAR_MM2)
        return np.asarray(np.where(inside, self.current_a[index], np.nan))


@dataclass(frozen=True)
class ProtectorTable:
    """A table that pairs wire and fuse, one entry a row, thinnest first; nan where nothing is printed."""

    id: str
    names: tuple[str, ...]
    area_mm2: Floats
    fuse_a: Floats
    breaker_a: Floats
    load_a: Floats
    source: Source
    note: str

    def largest_fuse_for_area(self, area_mm2: ArrayLike) -> Floats:
        """Largest fuse in A printed for a wire, next row down; nan below the printed sizes and for an unknown one."""
        areas = np.asarray(area_mm2, dtype=float)
        index = np.searchsorted(self.area_mm2, areas + _NEAR_MM2, side="right") - 1
        return np.asarray(np.where((index >= 0) & ~np.isnan(areas), self.fuse_a[index], np.nan))


def _sizes(printed: Table) -> tuple[tuple[str, ...], Floats]:
    if "awg" in printed.columns:
        names = printed.texts("awg")
        return names, np.array([awg_area_mm2(name) for name in names])
    areas = printed.array("area_mm2")
    names = printed.texts("nominal") if "nominal" in printed.columns else tuple(map(writing.stated, areas.tolist()))
    return names, areas


@cache
def ampacity_rows(table_id: str, class_c: float | None = None) -> AmpacityTable:
    """The current table of that id; see AMPACITIES.

    Tables by insulation class take ``class_c`` in °C and answer with the hottest printed class that does not exceed it.
    Raises TableError for an unknown id, a class below the lowest printed, or a table by class asked without one.
    """
    if table_id not in _ENTRIES:
        raise TableError(f"no current table '{table_id}'; accepted are {', '.join(_ENTRIES)}")
    entry = _ENTRIES[table_id]
    printed = table(entry.table_name)
    heading, max_c = entry.current, entry.max_c
    if entry.classes:
        printed_class = _class(table_id, entry.classes, class_c)
        heading, max_c = heading.format(printed_class), float(printed_class)
    names, areas = _sizes(printed)
    currents = printed.array(heading)
    order = [i for i in np.lexsort((currents, areas)) if not np.isnan(currents[i])]
    # Where one size is printed twice, the larger fuse needs no thicker wire: keep the last.
    order = [i for k, i in enumerate(order) if k + 1 == len(order) or areas[order[k + 1]] > areas[i]]
    return AmpacityTable(
        id=table_id,
        names=tuple(names[i] for i in order),
        area_mm2=areas[order],
        current_a=currents[order],
        max_c=max_c,
        reference_c=entry.reference_c,
        rise_k=entry.rise_k,
        fuse_based=entry.fuse_based,
        source=printed.citation,
        note=" ".join((printed.covers, *printed.notes)),
    )


def classes_of(table_id: str) -> tuple[int, ...]:
    """The insulation classes in °C a current table prints a column for; empty where it has one for all."""
    return _ENTRIES[table_id].classes


def _class(table_id: str, classes: tuple[int, ...], class_c: float | None) -> int:
    allowed = [each for each in classes if class_c is not None and each <= class_c]
    if not allowed:
        accepted = ", ".join(map(str, classes))
        allowed_words = "no temperature" if class_c is None else writing.stated(class_c, "°C")
        raise TableError(f"current table '{table_id}' has no class for {allowed_words}; printed are {accepted} °C")
    return allowed[-1]


@cache
def protector_rows(table_id: str) -> ProtectorTable:
    """The wire-and-fuse table of that id: ac43_t11_3 or bodybuilder_2015. Raises TableError otherwise."""
    if table_id not in _ENTRIES or not _ENTRIES[table_id].fuse_based:
        raise TableError(f"no wire-and-fuse table '{table_id}'; accepted are ac43_t11_3, bodybuilder_2015")
    printed = table(_ENTRIES[table_id].table_name)
    names, areas = _sizes(printed)
    blank = np.full(areas.shape, np.nan)
    columns = {
        heading: printed.array(heading) if heading in printed.columns else blank
        for heading in ("fuse_a", "breaker_a", "load_a")
    }
    note = " ".join((printed.covers, *printed.notes))
    return ProtectorTable(table_id, names, areas, source=printed.citation, note=note, **columns)


def engine_space_factor_cfr(class_c: float) -> Cited[float]:
    """Factor of 33 CFR 183.425 note 1 for 50 °C engine spaces, for the printed class not above ``class_c``.

    105 °C was read, the other classes are from memory. Raises TableError below 60 °C.
    """
    read, memory = table("cfr_33_183_425_note1"), table("cfr_33_183_425_note1_from_memory")
    rows = sorted(
        (float(c), float(f), each.citation)
        for each in (read, memory)
        for c, f in zip(each.array("class_c"), each.array("factor"), strict=True)
        if c <= class_c
    ) if class_c >= 60 else []
    if not rows:
        raise TableError(f"no engine-space factor for {writing.stated(class_c, '°C')} insulation; printed from 60 °C")
    _, factor, source = rows[-1]
    return Cited(factor, source)
