"""Whatever a path leads to that is no plan, every command says so in one sentence with status 2, at once."""

from __future__ import annotations

import os
import socket
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from fuseplan.cli import main as program
from fuseplan.planfile.files import LARGEST_BYTES
from fuseplan.planfile.library import library, user_folder

COMMANDS = (["check"], ["check", "--json"], ["power"], ["protect"], ["propose", "--write", "--yes"], ["compare-limits"],
            ["explain"], ["papers"], ["serve"])


def listening(path: Path) -> None:
    # The name of a socket may not be long.
    here = Path.cwd()
    os.chdir(path.parent)
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(path.name)
    os.chdir(here)


def huge(path: Path) -> None:
    with path.open("wb") as stream:
        stream.truncate(100_000_000)


KINDS: dict[str, Callable[[Path], object]] = {
    "folder": Path.mkdir,
    "pipe": os.mkfifo,
    "socket": listening,
    "endless device": lambda path: path.symlink_to("/dev/zero"),
    "empty device": lambda path: path.symlink_to("/dev/null"),
    "link to itself": lambda path: path.symlink_to(path),
    "link to nowhere": lambda path: path.symlink_to(path.with_name("nowhere")),
    "empty file": Path.touch,
    "huge file": huge,
    "not UTF-8": lambda path: path.write_bytes("fuseplan = 1\n# Lüfter\n".encode("latin-1")),
    "nothing": lambda path: None,
}


def state(path: Path) -> tuple[object, ...] | None:
    """What must stay as it is where nothing is written; reading may change when a file was last read."""
    if not os.path.lexists(path):
        return None
    about = os.lstat(path)
    contents = path.read_bytes() if stat.S_ISREG(about.st_mode) and about.st_size <= LARGEST_BYTES else about.st_size
    aim = path.readlink() if path.is_symlink() else None
    return contents, aim, about.st_mtime_ns, about.st_mode, about.st_ino, about.st_nlink, about.st_uid, about.st_gid


@pytest.mark.one_in(5)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_a_path_that_leads_to_no_plan_is_said(kind: str, command: list[str], tmp_path: Path,
                                              capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "plan.toml"
    KINDS[kind](file)
    before = state(file)
    assert program.main([command[0], str(file), *command[1:]]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    assert err.startswith(str(file))
    assert state(file) == before
    assert len(list(tmp_path.iterdir())) == (before is not None)


@pytest.mark.parametrize("name", ["a\0b.toml", "a" * 300 + ".toml", "x/" * 3000 + "y.toml", "\udcff.toml", "a\nb.toml"])
@pytest.mark.parametrize("command", [*COMMANDS, ["new"]], ids=" ".join)
def test_a_name_no_file_can_have_is_said(name: str, command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                         capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    status = program.main([command[0], name, *command[1:]])
    out, err = capsys.readouterr()
    if command == ["new"] and status == 0:
        assert len(list(tmp_path.iterdir())) == 1, "a name it can have after all"
        return
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert err.rstrip("\n").isprintable()


@pytest.mark.one_in(3)
@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "nothing"])
def test_the_users_own_files_are_read_with_the_same_limits(kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                           capsys: pytest.CaptureFixture[str], small: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    user_folder().mkdir(parents=True)
    KINDS[kind](user_folder() / "own.toml")
    assert "own" not in library().definitions
    assert program.main(["circuits"]) == 0
    assert len(capsys.readouterr().err.splitlines()) == 1
    limit_set = user_folder().with_name("limits")
    limit_set.mkdir()
    KINDS[kind](limit_set / "own.toml")
    assert program.main(["check", str(small), "--limits", "own"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    assert str(limit_set / "own.toml") in err
