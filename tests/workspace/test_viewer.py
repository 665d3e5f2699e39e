"""Which file a paper is looked at in, and that the system's viewer is handed just that file."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from fuseplan.errors import PaperError
from fuseplan.workspace import viewer
from fuseplan.workspace.viewer import file_to_view, view


def test_a_paper_is_looked_at_in_its_own_file_as_printed() -> None:
    names = ["papers.xlsx", "papers.html", "circuit-sheets-1.pdf", "circuit-sheets-2.pdf", "cut-list.txt",
             "loom-drawing-loom.svg", "loom-drawing.pdf"]
    files = [Path("out") / name for name in names]

    def seen(name: str) -> str:
        found = file_to_view(files, name)
        return "" if found is None else found.name

    assert seen("circuit-sheets") == "circuit-sheets-1.pdf"
    assert seen("loom-drawing") == "loom-drawing.pdf"
    assert seen("cut-list") == "papers.html"
    assert seen("cut") == "papers.html"
    assert file_to_view([Path("papers.xlsx"), Path("cut-list.csv")], "cut-list") is None
    assert file_to_view([], "cut-list") is None


def test_the_viewer_gets_the_whole_path_and_nothing_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[list[str]] = []
    monkeypatch.setattr(viewer.subprocess, "Popen", lambda words, **_: started.append(words))
    monkeypatch.setattr(viewer.shutil, "which", lambda name: f"/bin/{name}")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.chdir(tmp_path)
    Path("-x; rm.pdf").write_bytes(b"%PDF")
    view(Path("-x; rm.pdf"))
    assert started == [["/bin/xdg-open", str(tmp_path / "-x; rm.pdf")]]
    with pytest.raises(PaperError, match="not there any more"):
        view(Path("gone.pdf"))
    monkeypatch.setattr(viewer.shutil, "which", lambda name: None)
    with pytest.raises(PaperError, match="open it by hand"):
        view(Path("-x; rm.pdf"))
    assert len(started) == 1


def test_a_viewer_that_does_not_start_is_no_error_of_the_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch
                                                                 ) -> None:
    paper = tmp_path / "cut-list.pdf"
    paper.write_bytes(b"%PDF")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(viewer.shutil, "which", lambda name: str(paper))
    with pytest.raises(PaperError, match=r"does not start .*open it by hand"):
        view(paper)
