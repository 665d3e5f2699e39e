"""All papers of the example coupe in every format, and the memory of those of a thousand circuits as PDF, with and
without those that tell what to expect of every circuit on its own."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import tomlkit

from fuseplan.checks import assess
from fuseplan.papers.paper_set import paper_set, sheets
from fuseplan.papers.writers import FORMATS, files
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from tests.bench.timing import least_ms
from tests.plans import large_plan

Note = Callable[[str, str, str], None]
RUNS = 5


def paper_of(file: str) -> str:
    """The paper that a file is, whole or a piece of it."""
    return re.sub(r"(-\d+)?\.\w+$", "", file)


@pytest.mark.parametrize("name", FORMATS)
def test_all_papers_of_the_example(name: str, note: Note) -> None:
    plan = read_plan(shipped_folder("examples") / "coupe_turbo.toml")
    made = list[tuple[str, bytes]]()

    def write() -> None:
        made[:] = files(paper_set(assess(plan)), [name])

    taken_s = least_ms(write, RUNS) / 1e3
    assert {Path(file).suffix for file, _ in made} == {f".{name}"}
    assert all(raw for _, raw in made)
    if name in ("pdf", "txt"):
        assert {paper_of(file) for file, _ in made} == set(sheets())
    note(f"all papers of the coupe as {name}, {len(made)} files, assessed anew", f"{taken_s:.2f} s",
         "3 s" if name == "pdf" else "1 s")


BENCH = {"ready-list", "first-power-card", "test-sheet", "drain-card", "diagnosis-note", "acceptance-record"}
LARGE = """
import atexit
import sys
import time
from pathlib import Path

def told():
    memory = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
    print(time.process_time(), memory.split()[1])

atexit.register(told)
sys.argv[0] = "fuseplan"
from fuseplan.cli.main import main
sys.exit(main())
"""
"""The most memory is that of the process itself: what counts for a child counts what it was started from too."""


@pytest.mark.parametrize("with_bench", [False, True])
def test_a_thousand_circuits_as_pdf(with_bench: bool, note: Note, tmp_path: Path) -> None:
    assert set(sheets()) > BENCH
    wanted = [name for name in sheets() if with_bench or name not in BENCH]
    plan, out = tmp_path / "large.toml", tmp_path / "papers"
    plan.write_text(tomlkit.dumps(large_plan(1000)), encoding="utf-8")
    done = subprocess.run([sys.executable, "-c", LARGE, "papers", str(plan), *wanted, "--format", "pdf", "--out",
                           str(out)], check=True, capture_output=True, text=True, timeout=600)
    spent_s, most_kb = done.stdout.split()[-2:]
    names = {path.name for path in out.glob("*.pdf")}
    assert {paper_of(name) for name in names} == set(wanted)
    assert "circuit-sheets-2.pdf" in names, "a thousand circuits fill more than one piece"
    note(f"papers of 1,000 circuits as PDF, those of the bench {'too' if with_bench else 'left out'}",
         f"{float(spent_s):.0f} s, {int(most_kb) / 1024:.0f} MB", "600 MB")
