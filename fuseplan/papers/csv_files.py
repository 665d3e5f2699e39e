"""Circuits, segments and findings as CSV files for a spreadsheet."""

from __future__ import annotations

import contextlib
import csv
import io
import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from fuseplan.errors import StoreError
from fuseplan.papers.harmless import cell_text, shown

if TYPE_CHECKING:
    import pandas as pd

    from fuseplan.checks.assessment import Assessment

NAMES = ("circuits.csv", "segments.csv", "findings.csv")


def csv_text(frame: pd.DataFrame) -> str:
    """A frame as CSV (RFC 4180): comma, CR LF, no cell that a spreadsheet would run, no control characters."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(frame.columns)
    for row in frame.itertuples(index=False, name=None):
        writer.writerow([cell_text(shown(value) if isinstance(value, str) else value) for value in row])
    return out.getvalue()


def write_csv(assessment: Assessment, folder: str | os.PathLike[str]) -> tuple[Path, ...]:
    """Write the three files into a folder, which is made if need be; earlier files of these names are replaced.

    Raises
    ------
    StoreError
        A file stands where the folder should be, or the folder cannot be written.
    """
    target = Path(folder)
    if target.exists() and not target.is_dir():
        raise StoreError(f"{shown(target)}: a file is in the way; accepted is a folder, or a name that is not taken")
    frames = (assessment.circuits_frame(), assessment.segments_frame(), assessment.findings_frame())
    texts = [csv_text(frame) for frame in frames]
    try:
        target.mkdir(parents=True, exist_ok=True)
        paths = tuple(target / name for name in NAMES)
        for path, text in zip(paths, texts, strict=True):
            _replace(path, text)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise StoreError(f"{shown(target)}: cannot be written: {shown(why)}") from None
    return paths


def _replace(path: Path, text: str) -> None:
    """Put a text in the place of a file in one step, so that no reader meets half of it."""
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(text.encode("utf-8"))
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(temporary, 0o666 & ~mask)
        os.replace(temporary, path)
    finally:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
