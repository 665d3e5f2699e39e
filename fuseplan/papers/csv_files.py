"""Circuits, segments and findings as CSV for a spreadsheet."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from fuseplan.papers.harmless import cell_text, shown

if TYPE_CHECKING:
    import pandas as pd

    from fuseplan.checks.assessment import Assessment

NAMES = ("circuits.csv", "segments.csv", "findings.csv", "not_said.csv")


def csv_text(frame: pd.DataFrame) -> str:
    """A frame as CSV (RFC 4180): comma, CR LF, no cell that a spreadsheet would run, no control characters."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(frame.columns)
    for row in frame.itertuples(index=False, name=None):
        writer.writerow([cell_text(shown(value) if isinstance(value, str) else value) for value in row])
    return out.getvalue()


def csv_texts(assessment: Assessment) -> dict[str, str]:
    """The files' texts by name."""
    frames = (assessment.circuits_frame(), assessment.segments_frame(), assessment.findings_frame(),
              assessment.not_said_frame())
    return {name: csv_text(frame) for name, frame in zip(NAMES, frames, strict=True)}
