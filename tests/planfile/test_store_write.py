"""Whatever is written, a plan or a file of results: whole or not at all, no other file left behind, nothing about the
old file lost, and no waiting for what is no file."""

from __future__ import annotations

import errno
import os
import resource
import signal
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from fuseplan.cli import main as program
from fuseplan.errors import ChangedOnDisk, PlanError, StoreError
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.files import LARGEST_BYTES, read_text
from fuseplan.planfile.outputs import write_folder, write_picture
from fuseplan.planfile.recovery import Keeper
from fuseplan.planfile.write import write_atomically, write_new

NAME = ("vehicle", "name")
OLD, NEW = b"<svg old " + b"o" * 5000, b"<svg new " + b"n" * 90000
WRITERS: dict[str, Callable[[Path, bytes], object]] = {
    "plan": write_atomically,
    "new": lambda path, raw: write_new(path, raw.decode()),
    "picture": lambda path, raw: write_picture(raw.decode(), path),
    "tables": lambda path, raw: write_folder({path.name: raw.decode()}, path.parent),
}
REPLACING = [name for name in WRITERS if name != "new"]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "here" / "file.svg"
    path.parent.mkdir()
    path.write_bytes(OLD)
    return path


def there(file: Path) -> dict[str, bytes]:
    return {each.name: each.read_bytes() for each in file.parent.iterdir() if each.is_file()}


@pytest.fixture
def opened(tmp_path: Path, plan_text: str) -> PlanDocument:
    file = tmp_path / "car.toml"
    file.write_text(plan_text, encoding="utf-8")
    document = PlanDocument.open(file)
    document.set(NAME, "mine")
    return document


# --- a disk that fails


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize("standing", [True, False])
@pytest.mark.parametrize("links", [True, False])
def test_a_full_disk_changes_nothing_and_leaves_nothing(writer: str, standing: bool, links: bool, file: Path,
                                                        monkeypatch: pytest.MonkeyPatch) -> None:
    """As the system does it: no file may grow beyond a size, and what is beyond is refused."""
    if not standing:
        file.unlink()
    if writer == "new" and standing:
        pytest.skip("it replaces nothing")
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    before = there(file)
    limits, handler = resource.getrlimit(resource.RLIMIT_FSIZE), signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, limits[1]))
    try:
        with pytest.raises(StoreError, match="cannot be written: File too large"):
            WRITERS[writer](file, NEW)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, handler)
    assert there(file) == before


def no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "Operation not permitted")


def test_a_new_file_written_without_links_is_gone_when_that_fails(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file.unlink()
    synced: list[int] = []

    def full(handle: int) -> None:
        synced.append(handle)
        if len(synced) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StoreError, match="No space left"):
        write_new(file, NEW.decode())
    assert there(file) == {}


@pytest.mark.parametrize("option", ["--svg", "--csv"])
@pytest.mark.skipif(sys.platform != "linux", reason="needs a file system in memory")
def test_a_full_disk_under_a_command_is_a_sentence(option: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
                                                   ) -> None:
    small = tmp_path / "disk"
    small.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4k", "tmpfs", small], check=False,
                      capture_output=True).returncode:
        pytest.skip("may not mount")
    try:
        plan = Path(__file__).parents[2] / "examples" / "van_24v.toml"
        command = ["power", str(plan), "--svg", f"{small}/a.svg"] if option == "--svg" else \
            ["check", str(plan), "--csv", str(small)]
        assert program.main(command) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.endswith("cannot be written: No space left on device; the old file is as it was\n")
        assert not [each for each in small.iterdir() if each.name.startswith(".")]
    finally:
        subprocess.run(["umount", small], check=True)


# --- what belongs to the file besides its bytes


@pytest.mark.parametrize("writer", REPLACING)
@pytest.mark.skipif(os.geteuid() != 0, reason="only root may give files away")
@pytest.mark.parametrize("mode", [0o640, 0o4755])
def test_owner_group_and_permissions_stay(writer: str, mode: int, file: Path) -> None:
    os.chown(file, 12345, 54321)
    file.chmod(mode)
    WRITERS[writer](file, NEW)
    about = file.stat()
    assert (about.st_uid, about.st_gid, stat.S_IMODE(about.st_mode)) == (12345, 54321, mode)
    assert there(file) == {file.name: NEW}


@pytest.mark.parametrize("writer", REPLACING)
@pytest.mark.skipif(os.geteuid() != 0, reason="only root may give files away")
def test_an_owner_that_may_not_be_given_stays(writer: str, file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.chown(file, 12345, 54321)
    number = file.stat().st_ino

    def refused(*_: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "chown", refused)
    WRITERS[writer](file, NEW)
    about = file.stat()
    assert (about.st_ino, about.st_uid, about.st_gid) == (number, 12345, 54321)
    assert there(file) == {file.name: NEW}


@pytest.mark.parametrize("writer", REPLACING)
def test_extended_attributes_stay(writer: str, file: Path) -> None:
    try:
        os.setxattr(file, "user.note", b"kept")
    except (AttributeError, OSError):
        pytest.skip("no extended attributes here")
    WRITERS[writer](file, NEW)
    assert os.getxattr(file, "user.note") == b"kept"
    assert there(file) == {file.name: NEW}


@pytest.mark.parametrize("writer", REPLACING)
@pytest.mark.parametrize("length", [len(NEW), 12])
def test_other_names_of_a_file_stay_its_names(writer: str, length: int, file: Path) -> None:
    other = file.with_name("other.svg")
    os.link(file, other)
    WRITERS[writer](file, NEW[:length])
    assert file.samefile(other)
    assert there(file) == dict.fromkeys((file.name, other.name), NEW[:length])


def test_writing_over_that_fails_puts_the_old_bytes_back(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.link(file, file.with_name("other.svg"))
    before, write, calls = there(file), os.write, []

    def full(handle: int, raw: memoryview) -> int:
        calls.append(len(raw))
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(handle, raw[:1000])

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(StoreError, match="No space left on device; the old file is as it was"):
        write_atomically(file, NEW)
    assert len(calls) > 2
    assert there(file) == before


def test_old_bytes_that_cannot_be_put_back_are_said_and_the_new_ones_stay(file: Path, monkeypatch: pytest.MonkeyPatch
                                                                         ) -> None:
    os.link(file, file.with_name("other.svg"))

    def broken(handle: int, raw: memoryview) -> int:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(os, "write", broken)
    with pytest.raises(StoreError, match="the whole new text is in") as caught:
        write_atomically(file, NEW)
    whole = Path(str(caught.value).rpartition(" is in ")[2])
    assert whole.read_bytes() == NEW


# --- what is no file any more


def test_a_plan_swapped_for_something_else_is_never_waited_for(opened: PlanDocument) -> None:
    file = opened.path
    assert file is not None
    text = opened.text
    for put, said in ((os.mkfifo, "no plain file"), (os.mkdir, "is a folder"),
                      (lambda path: os.symlink("/dev/zero", path), "no plain file")):
        file.unlink()
        put(file)
        assert opened.changed_on_disk()
        for force in (False, True):
            with pytest.raises(StoreError, match=r"no plain file|a folder"):
                opened.save(force=force)
        with pytest.raises(PlanError, match=said):
            opened.merge_disk()
        assert not file.is_file(), "what was put there is still there"
        assert opened.text == text
        file.rmdir() if file.is_dir() else file.unlink()
        file.write_text(text, encoding="utf-8")


def test_a_plan_swapped_for_a_huge_file_is_not_read(opened: PlanDocument) -> None:
    assert opened.path is not None
    os.truncate(opened.path, 10**12)
    assert opened.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="somebody else"):
        opened.save()
    opened.save(force=True)
    assert read_text(opened.path).text == opened.text


def test_a_file_that_grows_while_it_is_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As those of /proc, which say they are empty."""
    file = tmp_path / "grows.toml"
    with file.open("wb") as stream:
        stream.truncate(LARGEST_BYTES + 1)
    real = os.fstat(os.open(file, os.O_RDONLY))
    empty = os.stat_result([*real[:6], 0, *real[7:]])
    with monkeypatch.context() as patch:
        patch.setattr(os, "fstat", lambda handle: empty)
        patch.setattr(Path, "stat", lambda self, **_: empty)
        with pytest.raises(PlanError, match="too large"):
            read_text(file)


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize("kind", ["fifo", "folder", "link to nowhere", "device"])
def test_what_is_no_file_is_never_replaced(writer: str, kind: str, tmp_path: Path) -> None:
    target = tmp_path / "there.svg"
    if kind == "fifo":
        os.mkfifo(target)
    elif kind == "folder":
        target.mkdir()
    else:
        target.symlink_to("/dev/null" if kind == "device" else tmp_path / "no" / "where")
    before = target.lstat()
    with pytest.raises(StoreError):
        WRITERS[writer](target, NEW)
    assert (target.lstat().st_ino, target.lstat().st_mode) == (before.st_ino, before.st_mode)
    assert [each.name for each in tmp_path.iterdir()] == [target.name]


@pytest.mark.parametrize("kind", ["file", "fifo", "folder", "link", "closed folder"])
def test_a_new_plan_is_written_over_nothing(kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "plan.toml"
    if kind == "file":
        target.write_text("precious")
    elif kind == "fifo":
        os.mkfifo(target)
    elif kind == "folder":
        target.mkdir()
    elif kind == "link":
        target.symlink_to("nowhere")
    else:
        target = target / "sub.toml"
    assert program.main(["new", str(target)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    assert kind != "file" or target.read_text() == "precious"
    assert not list(tmp_path.glob(".*"))


@pytest.mark.parametrize("name", ["ä" * 120, "車" * 80, "a" * 250])
def test_any_name_a_file_can_have_can_be_saved(name: str, tmp_path: Path) -> None:
    for writer in (WRITERS["new"], *map(WRITERS.get, REPLACING)):
        writer(tmp_path / name, NEW)  # type: ignore[misc]
    assert there(tmp_path / name) == {name: NEW}


def test_recovery_files_are_the_users_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    keeper = Keeper(None)
    for text in ("fuseplan = 1\n", "fuseplan = 1 # more\n"):
        keeper.keep(keeper.work(text, ()))
        assert stat.S_IMODE(keeper.file.stat().st_mode) == 0o600
    keeper.close()
