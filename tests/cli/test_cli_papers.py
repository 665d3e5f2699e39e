"""``fuseplan papers`` as it is called."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from fuseplan.cli.main import main
from fuseplan.papers.paper_set import sheets
from fuseplan.papers.writers import FORMATS, TEMPLATES
from fuseplan.planfile.written_papers import LIST

PLAN = str(Path(__file__).parent / "plans" / "small.toml")


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def test_it_writes_a_folder_beside_and_says_what(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", PLAN, "--format", "html,txt"]) == 0
    out, err = capsys.readouterr()
    written = {line.removeprefix("written: ") for line in out.splitlines()}
    assert written == {"small-papers/papers.html", *(f"small-papers/{name}.txt" for name in sheets())}
    assert all(Path(each).is_file() for each in written)
    assert "DANGER: DO NOT POWER UP" in err


def test_only_what_is_named_is_written(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", PLAN, "state-table", "summary", "--format", "txt", "--out", "out"]) == 0
    assert {each.name for each in Path("out").iterdir()} == {"summary.txt", "state-table.txt", LIST}
    assert capsys.readouterr().out.splitlines()[0] == "written: out/summary.txt", "in the order of the work"


def test_the_list_names_every_paper_and_format(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", "--list"]) == 0
    out = capsys.readouterr().out
    assert all(f"  {name} " in out for name in (*sheets(), *FORMATS))


@pytest.mark.parametrize(("arguments", "says"), [
    (["papers", PLAN, "fuse_mop"], "there is no paper 'fuse_mop'"),
    (["papers", PLAN, "--format", "docx"], "there is no format 'docx'; accepted are pdf, html, xlsx, csv, svg, txt"),
    (["papers", PLAN, "--format", ""], "there is no format ''"),
    (["papers", PLAN, "--limits", "nonsense"], "nonsense"), (["papers"], "PLAN is missing"),
    (["papers", "nowhere.toml"], "nowhere.toml"),
    (["papers", PLAN, "--templates", "nowhere", "--format", "pdf"],
     "nowhere: holds no template; accepted is a folder with any of paper.typ"),
])
def test_what_cannot_be_done_is_a_sentence_and_two(arguments: list[str], says: str,
                                                   capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert not list(Path().glob("*-papers/*.*df"))


def test_nothing_of_the_kind_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", PLAN, "summary", "--format", "svg"]) == 0
    assert "nothing written: the papers asked for hold nothing for svg" in capsys.readouterr().err


def test_old_papers_are_named_as_such(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", PLAN, "summary", "--format", "txt", "--out", "out"]) == 0
    assert main(["papers", PLAN, "state-table", "--format", "txt", "--out", "out"]) == 0
    assert "still there from an earlier run, and perhaps out of date: summary.txt" in capsys.readouterr().err


def test_templates_are_copied_once_and_used(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", "--copy-templates", "mine"]) == 0
    assert {each.name for each in Path("mine").iterdir()} == set(TEMPLATES)
    assert main(["papers", "--copy-templates", "mine"]) == 2
    assert "already there" in capsys.readouterr().err
    Path("mine/page.css").write_text("body { color: #123456 }", encoding="utf-8")
    assert main(["papers", PLAN, "summary", "--format", "pdf,html", "--templates", "mine", "--out", "out"]) == 0
    assert "#123456" in Path("out/papers.html").read_text(encoding="utf-8")
    assert Path("out/summary.pdf").read_bytes().startswith(b"%PDF")


def test_the_users_own_sheet_of_labels_is_taken_without_being_asked_for(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", "--copy-templates"]) == 0
    file = tmp_path / "config" / "fuseplan" / "templates" / "labels.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("rows = 13", "rows = 2"), encoding="utf-8")
    assert main(["papers", PLAN, "labels", "--format", "txt", "--out", "out", "--first-label", "10"]) == 0
    assert "10 a sheet, first free label 10" in Path("out/labels.txt").read_text(encoding="utf-8")
    assert main(["papers", PLAN, "labels", "--format", "txt", "--out", "out", "--first-label", "11"]) == 2
    assert "first free label 11; accepted is 1 to 10" in capsys.readouterr().err
    file.write_text("rows = 2", encoding="utf-8")
    assert main(["papers", PLAN, "labels", "--format", "txt", "--out", "out"]) == 2
    assert "labels.toml: missing: 'sheet_width_mm'" in capsys.readouterr().err


def test_without_typst_the_rest_is_written_and_a_sentence_says_so(capsys: pytest.CaptureFixture[str],
                                                                  monkeypatch: pytest.MonkeyPatch) -> None:
    import importlib.util

    real = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name, *rest: None if name == "typst" else real(name, *rest))
    monkeypatch.setitem(sys.modules, "typst", None)
    assert main(["papers", PLAN, "summary", "--out", "out"]) == 0
    assert {each.name for each in Path("out").iterdir()} == {"papers.html", "papers.xlsx", LIST}
    assert "no PDF written: PDF needs the package typst, which is not installed: pip install" in capsys.readouterr().err
    assert main(["papers", PLAN, "summary", "--out", "out", "--format", "pdf"]) == 2
    assert "pip install typst" in capsys.readouterr().err


def test_a_second_run_of_the_same_plan_writes_the_same_bytes() -> None:
    for folder in ("one", "two"):
        assert main(["papers", PLAN, "summary", "--format", ",".join(FORMATS), "--out", folder]) == 0
    names = sorted(each.name for each in Path("one").iterdir())
    assert len(names) >= 7
    assert [Path("one", name).read_bytes() for name in names] == [Path("two", name).read_bytes() for name in names]
