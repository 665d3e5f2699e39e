"""The spreadsheet of papers as LibreOffice reads it: every page, every cell, no formula and no repair. Skipped where
LibreOffice is not installed."""

from __future__ import annotations

import csv
import io
import shutil
import subprocess
from pathlib import Path

import pytest

from fuseplan.cli.main import main
from tests.lazily import Lazily

openpyxl = Lazily("openpyxl")

OFFICE = shutil.which("soffice")
EXAMPLE = Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"
AS_CSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
"""Every page as a file of its own, in UTF-8, figures as they are stored and not as they are shown."""


@pytest.mark.long
@pytest.mark.skipif(OFFICE is None, reason="LibreOffice is not installed")
def test_every_cell_is_read_as_it_was_written(tmp_path: Path) -> None:
    assert main(["papers", str(EXAMPLE), "--format", "xlsx", "--out", str(tmp_path)]) in (0, 1)
    done = subprocess.run(
        [str(OFFICE), "--headless", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--convert-to", AS_CSV,
         "--outdir", str(tmp_path / "csv"), str(tmp_path / "papers.xlsx")],
        capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    book = openpyxl.load_workbook(tmp_path / "papers.xlsx")
    cells = 0
    for page in book:
        text = (tmp_path / "csv" / f"papers-{page.title}.csv").read_text(encoding="utf-8")
        read = list(csv.reader(io.StringIO(text, newline="")))
        for number, row in enumerate(page.iter_rows(values_only=True)):
            for place, value in enumerate(row):
                if value is None:
                    continue
                found = read[number][place]
                cells += 1
                if isinstance(value, str):
                    assert found == value
                else:
                    assert isinstance(value, int | float)
                    assert float(found) == pytest.approx(value)
    assert len(book.sheetnames) > 40
    assert cells > 10_000
