"""Opening-time limits of fuses: both printed envelopes, never past their ends.

Between two printed multiples both the least and the greatest opening time lie on a straight line on double logarithmic
paper (log-log interpolation), as such curves are drawn; no document prints it. Where several documents are on file for
a kind, the worse line of them counts.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.records import dataclass
from fuseplan.tables.distinct import distinct
from fuseplan.tables.load import Source, Table, table

# Each document is one or more files of the same sheet, tried in this order. Several documents for one
# kind: the default answer takes the worse of them for each use.
DOCUMENTS: dict[str, dict[str, tuple[str, ...]]] = {
    "mini": {"littelfuse_297": ("littelfuse_297_mini_time_current",)},
    "blade": {
        "littelfuse_287": ("littelfuse_287_2025_atof_time_current", "littelfuse_287_2022_atof_time_current"),
        "japanese_practice": ("japanese_blade_practice_time_current",),
    },
    "maxi": {
        "din_72581_3": ("din_72581_3_form_e_time_current",),
        "littelfuse_299": ("littelfuse_299_2025_maxi_time_current",),
    },
    "micro2": {"littelfuse_327": ("littelfuse_327_micro2_time_current",)},
    "glass": {"ul_248_14": ("ul_248_14_time_current",), "iec_60127_fast": ("iec_60127_fast_time_current",)},
}


@dataclass(frozen=True)
class TimeCurrent:
    """Printed opening-time limits of one fuse.

    ``multiples`` of the rating ascend; ``min_s`` and ``max_s`` have the same shape, nan where nothing
    is printed. ``sources`` are all documents that took part, ``source`` is the first.
    """

    kind: str
    rating_a: float
    multiples: Floats
    min_s: Floats
    max_s: Floats
    sources: tuple[Source, ...]
    note: str

    @property
    def source(self) -> Source:
        """The first document; see ``sources`` for all of them."""
        return self.sources[0]

    def opening_min_s(self, multiple: ArrayLike) -> Floats:
        """Least opening time in s at a multiple of the rating: 0 above the last printed minimum."""
        known = ~np.isnan(self.min_s)
        asked = _rounded(multiple)
        if not known.any():
            return np.zeros_like(asked)
        return np.where(asked <= self.multiples[known][-1], between_rows(asked, self.multiples[known],
                                                                         self.min_s[known]), 0.0)

    def opening_max_s(self, multiple: ArrayLike) -> Floats:
        """Greatest opening time in s at a multiple of the rating: inf below the first printed maximum, that of the last
        row above it."""
        known = ~np.isnan(self.max_s)
        asked = _rounded(multiple)
        if not known.any():
            return np.full_like(asked, np.inf)
        return np.where(asked >= self.multiples[known][0], between_rows(asked, self.multiples[known],
                                                                        self.max_s[known]), np.inf)

    def min_known(self, multiple: ArrayLike) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """True where a minimum is printed at or above the multiple; elsewhere nothing is on file."""
        printed = self.multiples[~np.isnan(self.min_s)]
        largest = printed[-1] if printed.size else -np.inf
        return np.asarray(_rounded(multiple) <= largest)


def between_rows(multiple: ArrayLike, multiples: Floats, times_s: Floats) -> Floats:
    """Opening time in s at multiples of the rating (any shape) by log-log interpolation between printed rows; past the
    ends the nearest row's. At a printed multiple exactly the printed time."""
    asked = np.asarray(multiple, dtype=float)
    place = np.clip(np.searchsorted(multiples, asked, side="right") - 1, 0, len(multiples) - 1)
    line = np.exp(np.interp(np.log(np.maximum(asked, 1e-12)), np.log(multiples), np.log(times_s)))
    ends = times_s[place], times_s[np.minimum(place + 1, len(multiples) - 1)]
    # Floating point must not carry a time past its rows.
    inside = np.clip(line, np.minimum(*ends), np.maximum(*ends))
    return np.where(multiples[place] == asked, times_s[place], np.where(asked < multiples[0], times_s[0], inside))


def _rounded(multiple: ArrayLike) -> Floats:
    # 27 A / 20 A must meet the row printed as 135 %: binary fractions must not push it past.
    return np.round(np.asarray(multiple, dtype=float), 9)


def _rows(source_table: Table, rating_a: float) -> list[tuple[float, float, float]]:
    percent = source_table.array("percent_of_rating")
    least = source_table.array("min_s")
    most = source_table.array("max_s")
    holds = np.ones(percent.shape, dtype=bool)
    if "rating_from_a" in source_table.columns:
        holds = (source_table.array("rating_from_a") <= rating_a) & (rating_a <= source_table.array("rating_to_a"))
    chosen = zip(percent[holds], least[holds], most[holds], strict=True)
    return [(float(p) / 100, float(a), float(b)) for p, a, b in chosen]


def _one_document(kind: str, rating_a: float, files: tuple[str, ...]) -> TimeCurrent | None:
    tables = [table(name) for name in files]
    rows = sorted(row for each in tables for row in _rows(each, rating_a))
    if not rows:
        return None
    multiples, least, most = (np.array(values) for values in zip(*rows, strict=True))
    note = " ".join(note for each in tables for note in each.notes)
    return TimeCurrent(kind, rating_a, multiples, least, most, tuple(each.citation for each in tables), note)


def _worse(kind: str, rating_a: float, curves: list[TimeCurrent]) -> TimeCurrent:
    multiples = distinct(np.concatenate([curve.multiples for curve in curves]))
    # Silence of one document about a minimum is no evidence, so only printed minima are compared; a
    # maximum must hold whichever maker's fuse is fitted, so every document's envelope counts.
    least = np.full(multiples.shape, np.nan)
    most = np.zeros(multiples.shape)
    for curve in curves:
        printed = np.where(curve.min_known(multiples), curve.opening_min_s(multiples), np.nan)
        least = np.fmin(least, printed)
        most = np.maximum(most, curve.opening_max_s(multiples))
    most[np.isinf(most)] = np.nan
    # Past the last printed minimum of the quicker document only the other speaks; a fuse never opens later at more
    # current.
    known = ~np.isnan(least)
    least[known] = np.minimum.accumulate(least[known])
    note = " ".join(dict.fromkeys(curve.note for curve in curves if curve.note))
    sources = tuple(source for curve in curves for source in curve.sources)
    return TimeCurrent(kind, rating_a, multiples, least, most, sources, note)


@cache
def time_current(kind: str, rating_a: float, document: str | None = None) -> TimeCurrent | None:
    """Opening-time limits of a fuse, or None when no published limits are on file.

    ``document`` picks one of ``time_current_documents(kind)``; without it the worse of all documents
    counts for each use: the least of the minima, the greatest of the maxima.
    Raises TableError for a document that is not on file for the kind.
    """
    documents = DOCUMENTS.get(kind, {})
    if document is not None and document not in documents:
        accepted = ", ".join(documents) or "none"
        raise TableError(f"no document '{document}' on opening times of {kind} fuses; on file: {accepted}")
    wanted = documents if document is None else {document: documents[document]}
    curves = [curve for files in wanted.values() if (curve := _one_document(kind, rating_a, files)) is not None]
    if not curves:
        return None
    return curves[0] if len(curves) == 1 else _worse(kind, rating_a, curves)


def time_current_documents(kind: str) -> tuple[str, ...]:
    """Documents on opening times that are on file for a kind, in the order they are tried."""
    return tuple(DOCUMENTS.get(kind, {}))
