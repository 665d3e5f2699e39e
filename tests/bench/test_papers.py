"""All papers of the example coupe in every format, and the memory of a plan of a thousand circuits as PDF."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from fuseplan.checks import assess
from fuseplan.papers.paper_set import paper_set, sheets
from fuseplan.papers.writers import FORMATS, files
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan

Note = Callable[[str, str, str], None]
RUNS = 5


def paper_of(file: str) -> str:
    """The paper that a file is, whole or a piece of it."""
    return re.sub(r"(-\d+)?\.\w+$", "", file)


@pytest.mark.parametrize("name", FORMATS)
def test_all_papers_of_the_example(name: str, note: Note) -> None:
    plan = read_plan(shipped_folder("examples") / "coupe_turbo.toml")
    times, made = [], list[tuple[str, bytes]]()
    for _ in range(RUNS):
        start = time.perf_counter()
        made = list(files(paper_set(assess(plan)), [name]))
        times.append(time.perf_counter() - start)
    assert {Path(file).suffix for file, _ in made} == {f".{name}"}
    assert all(raw for _, raw in made)
    if name in ("pdf", "txt"):
        assert {paper_of(file) for file, _ in made} == set(sheets())
    note(f"all papers of the coupe as {name}, {len(made)} files, assessed anew", f"{min(times):.2f} s",
         "3 s" if name == "pdf" else "1 s")


LARGE = """
from pathlib import Path
from tests.plans import large_plan, plan_of
from fuseplan.checks import assess
from fuseplan.papers.paper_set import paper_set
from fuseplan.papers.writers import files
for name, raw in files(paper_set(assess(plan_of(large_plan(1000)))), ["pdf"]):
    assert raw.startswith(b"%PDF"), name
    print(name)
memory = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
print(memory.split()[1])
"""
"""The most memory is that of the process itself: what counts for a child counts what it was started from too."""


def test_a_thousand_circuits_as_pdf(note: Note) -> None:
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", LARGE], check=True, capture_output=True, text=True, timeout=600)
    spent = time.perf_counter() - start
    *names, most_kb = done.stdout.split()
    assert {paper_of(name) for name in names} == set(sheets())
    assert "circuit-sheets-2.pdf" in names, "a thousand circuits fill more than one piece"
    most_mb = int(most_kb) / 1024
    note("all papers of 1,000 circuits as PDF, a process of its own", f"{spent:.0f} s, {most_mb:.0f} MB", "600 MB")
