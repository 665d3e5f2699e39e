"""Saving: whole or not at all, never over somebody else's work, and in the shape the file had."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from fuseplan.errors import ChangedOnDisk, PlanError, StoreError
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.read import read_plan
from fuseplan.planfile.write import write_new

NAME = ("vehicle", "name")


@pytest.fixture
def file(tmp_path: Path, plan_text: str) -> Path:
    path = tmp_path / "car.toml"
    path.write_text(plan_text)
    return path


def alone(file: Path) -> bool:
    """No temporary file is left beside it."""
    return [entry.name for entry in file.parent.iterdir()] == [file.name]


def test_an_edit_reaches_the_file(file: Path, plan_text: str) -> None:
    document = PlanDocument.open(file)
    assert not document.is_changed
    document.set(NAME, "New")
    assert document.is_changed
    document.save()
    assert not document.is_changed
    assert file.read_text() == plan_text.replace("Tarvel 1300 coupe", "New")
    assert read_plan(file) == document.plan
    document.set(NAME, "Newer")
    document.save()
    assert read_plan(file).vehicle.name == "Newer"
    assert alone(file)


def test_nothing_is_written_when_nothing_changed(file: Path) -> None:
    document = PlanDocument.open(file)
    before = file.stat()
    document.save()
    snapshot = document.snapshot()
    document.set(NAME, "x")
    document.restore(snapshot)
    document.save()
    assert file.stat().st_mtime_ns == before.st_mtime_ns
    assert file.stat().st_ino == before.st_ino


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664])
def test_permissions_are_kept(file: Path, mode: int) -> None:
    file.chmod(mode)
    document = PlanDocument.open(file)
    document.set(NAME, "x")
    document.save()
    assert stat.S_IMODE(file.stat().st_mode) == mode


def test_a_link_is_followed(file: Path, tmp_path: Path) -> None:
    (tmp_path / "links").mkdir()
    link = tmp_path / "links" / "car.toml"
    link.symlink_to(file)
    document = PlanDocument.open(link)
    document.set(NAME, "x")
    document.save()
    assert link.is_symlink()
    assert read_plan(file).vehicle.name == "x"


@pytest.mark.parametrize("step", ["replace", "fsync", "chmod"])
def test_a_failure_half_way_loses_nothing(
    file: Path, plan_text: str, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    document = PlanDocument.open(file)
    document.set(NAME, "x")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, step, full)
        with pytest.raises(StoreError, match="No space left on device"):
            document.save()
    assert file.read_text() == plan_text
    assert alone(file)
    assert document.is_changed
    document.save()
    assert read_plan(file).vehicle.name == "x"


def test_being_killed_before_the_last_step_leaves_the_old_file(
    file: Path, plan_text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = PlanDocument.open(file)
    document.set(NAME, "x")
    seen = []

    def killed(source: str, target: str) -> None:
        # What would take the file's place is complete before it does.
        seen.append(Path(source).read_text())
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", killed)
    with pytest.raises(KeyboardInterrupt):
        document.save()
    assert seen == [document.text]
    assert file.read_text() == plan_text
    assert alone(file)


def test_missing_folder(tmp_path: Path, plan_text: str) -> None:
    document = PlanDocument.from_text(plan_text)
    with pytest.raises(StoreError, match="cannot be written"):
        document.save(tmp_path / "nowhere" / "car.toml")
    with pytest.raises(StoreError, match="no file can have this name"):
        document.save("a\0b")
    with pytest.raises(StoreError, match="no file yet"):
        document.save()


def test_somebody_else_wrote_meanwhile(file: Path, plan_text: str) -> None:
    document = PlanDocument.open(file)
    document.set(NAME, "mine")
    assert not document.changed_on_disk()
    theirs = plan_text.replace("Tarvel", "Velpar")
    file.write_text(theirs)
    assert document.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="somebody else"):
        document.save()
    assert file.read_text() == theirs
    document.save(force=True)
    assert read_plan(file).vehicle.name == "mine"
    assert not document.changed_on_disk()


def test_a_touched_file_is_not_a_changed_file(file: Path) -> None:
    document = PlanDocument.open(file)
    os.utime(file, (1, 1))
    assert not document.changed_on_disk()
    document.set(NAME, "x")
    document.save()
    assert read_plan(file).vehicle.name == "x"


def test_a_removed_file_is_not_quietly_made_again(file: Path) -> None:
    document = PlanDocument.open(file)
    document.set(NAME, "x")
    file.unlink()
    assert document.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="removed meanwhile"):
        document.save()
    document.save(force=True)
    assert file.exists()


def test_another_name(file: Path, tmp_path: Path, plan_text: str) -> None:
    document = PlanDocument.open(file)
    other = tmp_path / "other.toml"
    other.write_text("precious")
    with pytest.raises(ChangedOnDisk, match="already there"):
        document.save(other)
    assert other.read_text() == "precious"
    document.save(tmp_path / "third.toml")
    assert document.path == tmp_path / "third.toml"
    document.set(NAME, "x")
    document.save()
    assert file.read_text() == plan_text
    assert read_plan(tmp_path / "third.toml").vehicle.name == "x"


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("newline", [b"\n", b"\r\n"])
@pytest.mark.parametrize("last", [b"", b"\n"])
def test_shape_of_the_file_is_kept(tmp_path: Path, plan_text: str, mark: bytes, newline: bytes, last: bytes) -> None:
    raw = mark + plan_text.rstrip("\n").encode().replace(b"\n", newline) + (newline if last else b"")
    file = tmp_path / "car.toml"
    file.write_bytes(raw)
    document = PlanDocument.open(file)
    document.set(NAME, "x")
    document.save()
    assert file.read_bytes() == raw.replace(b"Tarvel 1300 coupe", b"x")
    document.set(("zone", "boot"), {"ambient": "1 degC"})
    document.save()
    now = file.read_bytes()
    assert now.count(b"\n") == now.count(newline)
    assert now.endswith(b"\n") == bool(last)


def test_mixed_line_ends_stay_as_they_are(tmp_path: Path) -> None:
    file = tmp_path / "car.toml"
    file.write_bytes(b'fuseplan = 1\r\n[vehicle]\nname = "a"\r\nlimits = "road"\n')
    document = PlanDocument.open(file)
    document.set(NAME, "b")
    document.save()
    assert file.read_bytes() == b'fuseplan = 1\r\n[vehicle]\nname = "b"\r\nlimits = "road"\n'


def test_a_new_file_never_replaces_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "new.toml"
    write_new(file, "fuseplan = 1\n")
    assert file.read_text() == "fuseplan = 1\n"
    assert alone(file)
    with pytest.raises(StoreError, match="already there"):
        write_new(file, "fuseplan = 1\n# other\n")
    assert file.read_text() == "fuseplan = 1\n"
    with pytest.raises(StoreError, match="cannot be written"):
        write_new(tmp_path / "nowhere" / "new.toml", "")

    def no_links(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    with pytest.raises(StoreError, match="already there"):
        write_new(file, "other")
    write_new(tmp_path / "second.toml", "fuseplan = 1\n")
    assert read_plan(tmp_path / "second.toml")


def test_opening_a_broken_plan_names_the_file(tmp_path: Path) -> None:
    file = tmp_path / "car.toml"
    file.write_text("fuseplan = 1\n\nx = 3\n")
    with pytest.raises(PlanError) as caught:
        PlanDocument.open(file)
    assert str(caught.value).startswith(f"{file}:3: unknown key 'x' in the plan; ")


def test_a_write_protected_file_is_not_replaced(file: Path, plan_text: str) -> None:
    file.chmod(0o444)
    document = PlanDocument.open(file)
    document.set(NAME, "x")
    with pytest.raises(StoreError, match="write-protected; accepted is another name"):
        document.save()
    assert file.read_text() == plan_text
    assert document.is_changed
    assert alone(file)
    file.chmod(0o644)
    document.save()
    assert read_plan(file).vehicle.name == "x"
