"""The page with all papers in a browser: on a phone nothing hangs over the edge, on A4 every page bears its head."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from sample_papers import sample_set

from fuseplan.checks.assessment import assess
from fuseplan.papers.paper_set import PaperSet, paper_set
from fuseplan.papers.writers.html_page import page
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from tests.lazily import Lazily

pypdf = Lazily("pypdf")

CHROMIUM = shutil.which("chromium")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs chromium")
SETS = ["sample", pytest.param("coupe_turbo", marks=pytest.mark.long)]


def papers_named(name: str) -> PaperSet:
    if name == "sample":
        return sample_set()
    return paper_set(assess(read_plan(shipped_folder("examples") / f"{name}.toml")))


def chromium(folder: Path, *options: str) -> bytes:
    assert CHROMIUM is not None
    done = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
         f"--user-data-dir={folder / 'profile'}", *options, (folder / "page.html").as_uri()], capture_output=True,
        check=True, timeout=120, cwd=folder)
    return done.stdout


@pytest.mark.parametrize("name", SETS)
def test_on_a_phone_nothing_hangs_over_the_edge(name: str, tmp_path: Path) -> None:
    """A script, which the page itself forbids, measures a copy of it; headings of columns are there for readers of the
    screen alone."""
    script = ("<script>document.title = [document.documentElement.scrollWidth, innerWidth, "
              "...[...document.querySelectorAll('td, th, p, h2')].filter(each => { const box = "
              "each.getBoundingClientRect(); return box.width > 2 && box.right > innerWidth + 1 && "
              "!each.closest('.sheet, thead'); }).map(each => each.textContent)].join('|')</script>")
    copy = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", page(papers_named(name)))
    (tmp_path / "page.html").write_text(copy.replace("</body>", f"{script}</body>"), encoding="utf-8")
    shown = chromium(tmp_path, "--window-size=500,900", "--dump-dom").decode("utf-8")
    title = re.search(r"<title>(.*?)</title>", shown, re.S)
    assert title is not None
    wide, window, *over = title[1].split("|")
    assert int(wide) <= int(window) <= 500
    assert over == []


@pytest.mark.parametrize("name", SETS)
def test_on_a4_every_page_bears_plan_danger_and_its_number(name: str, tmp_path: Path) -> None:
    papers = papers_named(name)
    (tmp_path / "page.html").write_text(page(papers), encoding="utf-8")
    chromium(tmp_path, "--no-pdf-header-footer", "--print-to-pdf=page.pdf")
    reader = pypdf.PdfReader(io.BytesIO((tmp_path / "page.pdf").read_bytes()))
    bearing = 0
    for number, each in enumerate(reader.pages, 1):
        text = "".join(each.extract_text().split())
        # A sheet of labels is printed to its edges.
        if f"page{number}of{len(reader.pages)}" in text:
            bearing += 1
            assert "".join(papers.head.plan[:80].split()) in text
            assert f"{papers.head.dangers}DANGER:DONOTPOWERUP" in text
            assert "".join(papers.head.state.split()) in text
    assert bearing >= len(papers.papers)
    assert {round(float(each.mediabox.width)) for each in reader.pages} <= {595, 842, 596, 841, 594}
