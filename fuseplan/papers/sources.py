"""Which published documents an assessment rests on, and which of its figures are on file only from memory."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.tables import fuses as fuse_tables


def sources_used(assessment: Assessment) -> list[tuple[str, str]]:
    """(what, source) for what the verdicts rest on, each once."""
    limits, segments = assessment.limit_set, assessment.results.network.segments
    found: dict[tuple[str, str], None] = {}
    wires = {(segment.size, insulation): None for segment, insulation in
             zip(segments.segment, segments.insulation, strict=True) if segment.size is not None}
    for size, insulation in wires:
        rated = limits.ampacity(size, insulation)
        if rated is not None:
            found["ampacity", f"{rated.source.line()} ({rated.basis})"] = None
    if assessment.results.network.fuses:
        found["fuse against load", limits.fuse.continuous_source] = None
        found["fuse against wire", limits.fuse.wire_source] = None
    for row, rating in zip(assessment.results.network.fuses, assessment.results.fusing.rating_a.tolist(), strict=True):
        colour = fuse_tables.colour(row.fuse.kind, rating) if rating == rating else None
        if colour is not None and colour.source.how != "read":
            found["fuse colour", colour.source.line()] = None
    found["alternator share", limits.alternator.continuous_source] = None
    return list(found)


def source_lines(assessment: Assessment, room: int, paint: Paint = unpainted) -> list[str]:
    """The same as lines of text."""
    lines = [paint(f"Checked against: {shown(assessment.limit_set.title)} [{assessment.limit_set.name}]", "heading")]
    for what, source in sources_used(assessment):
        lines += paragraph(shown(source), room, f"  {what}: ", "    ")
    return lines
