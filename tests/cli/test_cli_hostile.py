"""Nothing in a plan acts: what every command prints of a hostile plan is what it prints of the same plan with every
control character already spelled out, so none can reach a terminal, a file or another line."""

from __future__ import annotations

import csv
import json
import re
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_processes import commands

from fuseplan.cli import main as program
from fuseplan.cli import terminal
from fuseplan.papers.harmless import shown

sys.path.insert(0, str(Path(__file__).parents[1]))
from hostile import hostile, plan_data, toml

OURS = re.compile("\x1b\\[(1;31|1;33|36|35|1|32|0)m")
DATA = plan_data(hostile)
CIRCUIT = next(iter(DATA["circuit"]))
LINES = {
    "check": ([], ["--full", "--measure-first", "--sample", "20", "--csv", "lists"], ["--circuit", CIRCUIT],
              ["--feed", next(iter(DATA["feed"]))], ["--earth", next(iter(DATA["earth"]))],
              ["--json", "--measure-first", "--sample", "5"]),
    "power": (["--loads", "--svg", "power.svg", *(word for trip in DATA["trip"] for word in ("--trip", trip))],
              ["--condition", next(iter(DATA["condition"])), "--json"]),
    "protect": ([], [CIRCUIT, "--svg", "protect.svg"], ["--json"], [CIRCUIT, "--json"]),
    "propose": (["--write", "--yes"], ["--json"]),
    "compare-limits": ([], ["--json"]),
    "compare": (["other.toml"], ["other.toml", "--json"]),
    "export": (["--out", "lists"], ["--format", "json", "--out", "lists"]),
    "import": (["list.dat"], ["list.dat", "--take"]),
    "bench": ([], ["--json"]),
    "looms": ([], ["--json"], ["--merge"]),
    "upgrade": (["--check"], []),
    "papers": (["--format", "csv,svg,txt,html,xlsx,pdf", "--out", "papers"],),
    "explain": ([], ["--json"], [f"{CIRCUIT}.drop"], [f"circuits.{CIRCUIT}.load_current_a.continuous", "--json"]),
}
TEXTS = (".csv", ".html", ".svg", ".txt")
WITHOUT_PLAN = {"cautions", "checks", "circuits", "new", "schema", "serve", "terms"}
WRONG = (["check", "PLAN", "--circuit", hostile(4)], ["check", "PLAN", "--feed", hostile(4)],
         ["check", "PLAN", "--earth", hostile(4)], ["power", "PLAN", "--trip", hostile(4)],
         ["power", "PLAN", "--condition", hostile(4)], ["protect", "PLAN", hostile(4)], ["explain", "PLAN", hostile(4)],
         ["propose", "PLAN", hostile(4)], ["check", "PLAN", "--limits", hostile(4)], ["cautions", hostile(4)],
         ["checks", hostile(4)],
         ["papers", "PLAN", hostile(4)], ["papers", "PLAN", "--format", hostile(4)],
         ["terms", hostile(4)], ["circuits", hostile(4)], ["circuits", "--group", hostile(4)],
         ["new", "x.toml", "--take", hostile(4)],
         [hostile(4)], ["check", hostile(4)], ["--nonsense", hostile(4)], ["check", "PLAN", "--sample", hostile(4)])


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[bool, Path]]:
    """Two folders with the same plan: as it is, and with its texts spelled out."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    made = {}
    for spelled in (False, True):
        made[spelled] = tmp_path / str(spelled)
        made[spelled].mkdir()
        data = plan_data(lambda number, spelled=spelled: shown(hostile(number)) if spelled else hostile(number))
        (made[spelled] / "plan.toml").write_text(toml(data), encoding="utf-8")
        other = {**data, "circuit": {name: {key: value for key, value in part.items() if key != "name"}
                                     for name, part in list(data["circuit"].items())[1:]}}
        (made[spelled] / "other.toml").write_text(toml(other), encoding="utf-8")
        text = shown(hostile(7)) if spelled else hostile(7)
        quoted = text.replace('"', '""')
        (made[spelled] / "list.dat").write_text(f'circuit,load,"{quoted}"\na,"{quoted}","{quoted}"\n', encoding="utf-8",
                                                newline="")
    return made


def harmless(text: str) -> bool:
    """Whether a text of several lines holds nothing that acts."""
    return all(line.isprintable() and not any(unicodedata.category(each) == "Cf" for each in line)
               for line in text.split("\n"))


def test_every_command_that_reads_a_plan_is_tried():
    assert commands().keys() == LINES.keys() | WITHOUT_PLAN


@pytest.mark.one_in(5)
@pytest.mark.parametrize(("command", "options", "on_terminal"), [
    pytest.param(name, each, on_terminal, id=f"{'terminal' if on_terminal else 'piped'}-{name}-{number}",
                 # Papers take seconds, and a terminal is only told where they lie.
                 marks=pytest.mark.long if on_terminal and name == "papers" else ())
    for name, lines in LINES.items() for number, each in enumerate(lines) for on_terminal in (False, True)])
def test_a_hostile_plan_prints_what_its_spelled_out_twin_prints(command, options, on_terminal, folders, monkeypatch,
                                                               capsys):
    if on_terminal and "--json" in options:
        pytest.skip("the same text")
    monkeypatch.setattr(terminal, "is_terminal", lambda: on_terminal)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "160")
    told = {}
    for spelled, folder in folders.items():
        monkeypatch.chdir(folder)
        status = program.main([command, "plan.toml", *(shown(each) if spelled else each for each in options)])
        assert status in (0, 1)
        told[spelled] = capsys.readouterr()
        for text in told[spelled]:
            assert harmless(OURS.sub("", text) if on_terminal else text)
            assert "\x1b" not in text or on_terminal
    if on_terminal and command not in ("explain", "export", "papers", "upgrade"):
        assert told[False].out != OURS.sub("", told[False].out), "colours of our own do act"
    if "--json" in options:
        json.loads(told[False].out)
        assert told[False].err == told[True].err
    else:
        assert told[False] == told[True]
    names = {file.relative_to(folder) for folder in folders.values() for file in folder.rglob("*")
             if file.suffix in (*TEXTS, ".pdf", ".xlsx")}
    for name in names:
        both = [(folder / name).read_bytes() for folder in folders.values()]
        # What is nearest to a wrong name, and where a label's text is folded, depends on the name as it is.
        assert both[0] == both[1] or command == "papers"
        assert name.suffix not in TEXTS or all(harmless(raw.decode("utf-8").replace("\r\n", "\n")) for raw in both)


@pytest.mark.one_in(4)
@pytest.mark.parametrize("arguments", WRONG, ids=lambda each: each[0] if each[0].isprintable() else "file")
def test_what_was_typed_wrongly_comes_back_harmless(arguments, folders, monkeypatch, capsys):
    monkeypatch.chdir(folders[False])
    assert program.main(["plan.toml" if each == "PLAN" else each for each in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err
    assert harmless(err)
    if "usage" not in err:
        assert len(err.splitlines()) == 1


def test_a_hostile_file_of_the_library_prints_harmlessly(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "fuseplan" / "circuits"
    folder.mkdir(parents=True)
    text = toml({"fuseplan": 1,
                 "definition": {"title": hostile(1), "group": "fuel", "caution": hostile(2), "note": hostile(3)},
                 "circuit": {"own": {"name": hostile(5), "caution": hostile(7), "note": hostile(9)}}})
    (folder / "own\x1b[2J.toml").write_text(text, encoding="utf-8")
    (folder / "wrong\u202e.toml").write_text(text.replace("title", "\\u202E"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    for arguments in (["circuits"], ["circuits", "own\x1b[2J"], ["circuits", "--group", "fuel"],
                      ["new", "plan\x1b[2J.toml", "--take", "own\x1b[2J"], ["check", "plan\x1b[2J.toml"]):
        status = program.main(arguments)
        told = capsys.readouterr()
        assert status in (0, 1), told
        assert harmless(told.out + told.err)


@pytest.mark.one_in(4)
@pytest.mark.parametrize("lead", ["=", "+", "-", "@", "＝", "＋", "－", "＠", "\t=", "\r=", " =", "\u3000＝", "\ufeff=",
                                  "﹦", "⁼", "−"])
def test_no_cell_of_a_table_begins_a_formula(lead, tmp_path, monkeypatch, capsys):
    """A spreadsheet may fold full-width signs, and blanks before them, into what starts a formula."""
    monkeypatch.chdir(tmp_path)
    Path("plan.toml").write_text(toml(plan_data(lambda number: f"n{number}", lead)), encoding="utf-8")
    assert program.main(["check", "plan.toml", "--csv", "lists"]) in (0, 1)
    guarded = 0
    for file in Path("lists").iterdir():
        with file.open(encoding="utf-8", newline="") as stream:
            for row in csv.reader(stream):
                for cell in row:
                    guarded += cell.startswith("'")
                    folded = unicodedata.normalize("NFKC", cell).lstrip()
                    if folded.startswith(("=", "+", "-", "@", "\u2212")):
                        float(cell)
    if not shown(lead).startswith("\\"):
        assert guarded > 3
