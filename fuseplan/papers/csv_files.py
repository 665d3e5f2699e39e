"""Circuits, segments and findings as CSV for a spreadsheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fuseplan.papers.harmless import csv_text

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

NAMES = ("circuits.csv", "segments.csv", "findings.csv", "not_said.csv")


def csv_texts(assessment: Assessment) -> dict[str, str]:
    """The files' texts by name."""
    frames = (assessment.circuits_frame(), assessment.segments_frame(), assessment.findings_frame(),
              assessment.not_said_frame())
    return {name: csv_text([frame.columns, *frame.itertuples(index=False, name=None)])
            for name, frame in zip(NAMES, frames, strict=True)}
