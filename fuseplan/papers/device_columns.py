"""Columns of the table of protective devices, and what a short does to one in words."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.columns import PROPOSED, Column
from fuseplan.papers.harmless import shown
from fuseplan.plan.part_names import part_name
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results import short_circuit
from fuseplan.results.fuse import FuseResult
from fuseplan.results.short_circuit import ShortCircuit

NOTHING = "no published limits on file"
ABOVE = "› "
"""Before a device once for every one above it; the rows follow one another from the battery."""
STATED = ", by its maker's sheet"


@dataclass(frozen=True)
class DeviceRow:
    """One protective device."""

    owner: str
    name: str
    """What its owner is called."""
    fuse: FuseResult
    fault: ShortCircuit
    upstream: str | None
    """Owner of the device above it."""
    upstream_name: str | None
    depth: int
    """How many devices are above it."""


def device_rows(assessment: Assessment) -> list[DeviceRow]:
    """All protective devices of an assessment, as they follow one another from the battery."""
    fuses, faults = assessment.results.network.fuses, short_circuit.of_devices(assessment)
    rows = []
    for index, fault in enumerate(faults):
        above = None if fault.upstream < 0 else fuses[fault.upstream].owner
        own, depth, at = fuses[index].owner, 0, fault.upstream
        while at >= 0:
            depth, at = depth + 1, faults[at].upstream
        rows.append(DeviceRow(own[1] or own[0], part_name(assessment.plan, own), FuseResult(assessment, index), fault,
                              None if above is None else above[1] or above[0],
                              None if above is None else part_name(assessment.plan, above), depth))
    return rows


def opens_words(fault: ShortCircuit) -> str:
    """``within 0.25 s``, ``perhaps never``, or that nothing is on file; and where the plan states it."""
    if fault.may_never_clear is None:
        return NOTHING if fault.device >= 0 else writing.NONE
    if fault.max_clearing_s is None:
        return "perhaps never"
    return f"within {writing.burden(fault.max_clearing_s, 's')}{STATED if fault.clearing_is_stated else ''}"


def survives_words(fault: ShortCircuit) -> str:
    """Whether the wire survives the short."""
    if fault.wire_survives is None:
        slow = fault.clearing_s > 5.0
        return "not shown: the fuse is too slow" if slow else "not known: nothing on file"
    return "survives" if fault.wire_survives else "is DAMAGED"


def order_words(fault: ShortCircuit) -> str:
    """Whether a device is selective with the one above it."""
    if fault.selectivity is None:
        return writing.NONE
    start = "" if fault.selective_up_to_a is None else f" above {writing.limit(fault.selective_up_to_a, 'A')}"
    return {"assured": "selective", "not assured": f"NOT selective{start}",
            "unknown": f"not known{start}: nothing on file"}[fault.selectivity]


def _opens_cell(row: DeviceRow) -> str:
    if row.fault.may_never_clear is None:
        return "not on file"
    if row.fault.max_clearing_s is None:
        return "never?"
    return writing.burden(row.fault.max_clearing_s, "s")


def _order_cell(row: DeviceRow) -> str:
    short = {"unknown": "not known", "not assured": "NOT selective"}
    return short.get(row.fault.selectivity or "") or order_words(row.fault)


DEVICE_COLUMNS: tuple[Column[DeviceRow], ...] = (
    Column("owner", "Protects", "Protects", "left", 0, lambda row: f"{ABOVE * row.depth}{shown(row.name)}"),
    Column("kind", "Kind", "Kind", "left", 0, lambda row: row.fuse.kind),
    Column("rating", "Rating", "Rating", "right", 0,
           lambda row: writing.rating(row.fuse.rating_a) + ("" if row.fuse.entered else PROPOSED)),
    Column("prospective", "Prospective short-circuit current", "Prospective", "right", 2,
           lambda row: writing.burden(row.fault.prospective_a, "A")),
    Column("far", "Short at the far end", "Far end", "right", 0, lambda row: writing.limit(row.fault.far_end_a, "A")),
    Column("opens", "Maximum clearing time", "Clears in", "right", 0, _opens_cell),
    Column("wire", "Wire", "Wire", "left", 1, lambda row: survives_words(row.fault).split(":")[0]),
    Column("order", "Selective", "Selective", "left", 1, _order_cell),
)
