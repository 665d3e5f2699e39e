"""All papers of the example coupe in every format, and the memory of a plan of a thousand circuits as PDF."""

from __future__ import annotations

import resource
import subprocess
import sys
import time
from collections.abc import Callable

import pytest

from fuseplan.checks import assess
from fuseplan.papers.paper_set import paper_set
from fuseplan.papers.writers import FORMATS, files
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan

Note = Callable[[str, str, str], None]
RUNS = 5


@pytest.mark.parametrize("name", FORMATS)
def test_all_papers_of_the_example(name: str, note: Note) -> None:
    plan = read_plan(shipped_folder("examples") / "coupe_turbo.toml")
    times, count = [], 0
    for _ in range(RUNS):
        start = time.perf_counter()
        count = len(list(files(paper_set(assess(plan)), [name])))
        times.append(time.perf_counter() - start)
    note(f"all papers of the coupe as {name}, {count} files, assessed anew", f"{min(times):.2f} s",
         "3 s" if name == "pdf" else "1 s")


LARGE = """
from tests.plans import large_plan, plan_of
from fuseplan.checks import assess
from fuseplan.papers.paper_set import paper_set
from fuseplan.papers.writers import files
size = 0
for name, raw in files(paper_set(assess(plan_of(large_plan(1000)))), ["pdf"]):
    size += len(raw)
print(size)
"""


def test_a_thousand_circuits_as_pdf(note: Note) -> None:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", LARGE], check=True, capture_output=True, timeout=600)
    spent = time.perf_counter() - start
    most_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    note("all papers of 1,000 circuits as PDF, a process of its own", f"{spent:.0f} s, {most_mb:.0f} MB", "600 MB")
