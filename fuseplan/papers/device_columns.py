"""Columns of the table of protective devices, and what a short does to one in words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.views import FaultView, known
from fuseplan.engine.fault import survives
from fuseplan.papers.columns import PROPOSED, Column, by_number, by_text
from fuseplan.papers.harmless import shown
from fuseplan.quantities import writing

NOTHING = "no published limits on file"


@dataclass(frozen=True)
class DeviceRow:
    """One protective device."""

    owner: str
    kind: str
    rating_a: float | None
    entered: bool
    fault: FaultView
    upstream: str | None
    """Owner of the device above it."""


def device_rows(assessment: Assessment) -> list[DeviceRow]:
    """All protective devices of an assessment, as they follow one another from the battery."""
    network, faults = assessment.results.network, assessment.results.faults
    guarded: dict[int, list[bool | None]] = {}
    for index, device in enumerate(network.segment_guard.tolist()):
        guarded.setdefault(device, []).append(survives(faults, index))
    rows = []
    for index, row in enumerate(network.fuses):
        answers = guarded.get(index, [])
        opens = float(faults.fuse_opens_s[index])
        pair = assessment.pair_of.get(index)
        fault = FaultView(
            prospective_a=known(faults.prospective_a[index]), far_end_a=known(faults.fuse_far_a[index]),
            opens_within_s=None if math.isnan(opens) else opens, limits_on_file=not math.isnan(opens),
            wire_survives=False if False in answers else None if not answers or None in answers else True,
            device=index, upstream=-1 if pair is None else pair.upper, order=None if pair is None else pair.answer,
            order_from_a=None if pair is None else known(pair.from_a))
        rows.append(DeviceRow(owner=_owner(row.owner), kind=row.fuse.kind,
                              rating_a=known(assessment.results.fusing.rating_a[index]),
                              entered=row.fuse.rating is not None, fault=fault,
                              upstream=None if pair is None else _owner(network.fuses[pair.upper].owner)))
    return rows


def _owner(owner: tuple[str, str]) -> str:
    return owner[1] or owner[0]


def opens_words(fault: FaultView) -> str:
    """``within 0.25 s``, ``perhaps never``, or that nothing is on file."""
    if fault.opens_within_s is None:
        return NOTHING if fault.device >= 0 else writing.NONE
    if math.isinf(fault.opens_within_s):
        return "perhaps never"
    return f"within {_seconds(fault.opens_within_s)}"


def _seconds(time_s: float) -> str:
    return writing.burden(time_s, "s")


def survives_words(fault: FaultView) -> str:
    """Whether the wire outlives the short."""
    if fault.wire_survives is None:
        slow = fault.opens_within_s is not None and fault.opens_within_s > 5.0
        return "not shown: the fuse is too slow" if slow else "not known: nothing on file"
    return "survives" if fault.wire_survives else "is DAMAGED"


def order_words(fault: FaultView) -> str:
    """Whether a device opens before the one above it."""
    if fault.order is None:
        return writing.NONE
    start = "" if fault.order_from_a is None else f" from {writing.limit(fault.order_from_a, 'A')} on"
    return {"assured": "in order", "not assured": f"NOT assured{start}",
            "unknown": f"not known{start}: nothing on file"}[fault.order]


def _opens_cell(row: DeviceRow) -> str:
    opens = row.fault.opens_within_s
    if opens is None:
        return "not on file"
    return "never?" if math.isinf(opens) else _seconds(opens)


def _order_cell(row: DeviceRow) -> str:
    return {"unknown": "not known", "not assured": "NOT assured"}.get(row.fault.order or "") or order_words(row.fault)


DEVICE_COLUMNS: tuple[Column[DeviceRow], ...] = (
    Column("owner", "Guards", "Guards", "left", 0, lambda row: shown(row.owner.replace("_", " ")),
           lambda row: by_text(row.owner)),
    Column("kind", "Kind", "Kind", "left", 0, lambda row: row.kind, lambda row: by_text(row.kind)),
    Column("rating", "Rating", "Rating", "right", 0,
           lambda row: writing.rating(row.rating_a) + ("" if row.entered else PROPOSED),
           lambda row: by_number(row.rating_a)),
    Column("prospective", "Short behind "
                          "it", "Short", "right", 2, lambda row: writing.burden(row.fault.prospective_a, "A"),
           lambda row: by_number(row.fault.prospective_a)),
    Column("far", "Short at the far end", "Far end", "right", 0, lambda row: writing.limit(row.fault.far_end_a, "A"),
           lambda row: by_number(row.fault.far_end_a)),
    Column("opens", "Opens within", "Opens", "right", 0, _opens_cell, lambda row: by_number(row.fault.opens_within_s)),
    Column("wire", "Wire", "Wire", "left", 1, lambda row: survives_words(row.fault).split(":")[0],
           lambda row: by_text(survives_words(row.fault))),
    Column("upstream", "Device above", "Above", "left", 3,
           lambda row: shown((row.upstream or writing.NONE).replace("_", " ")),
           lambda row: by_text(row.upstream or "")),
    Column("order", "Opens before it", "Order", "left", 1, _order_cell,
           lambda row: by_text(order_words(row.fault))),
)
