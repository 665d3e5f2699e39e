"""A folder of papers: nothing in it is replaced that the program did not write, or that was changed since."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.errors import PaperError, StoreError
from fuseplan.planfile.written_papers import LIST, PaperFolder, write_papers


def written(folder: Path, files: dict[str, bytes], replace: bool = False) -> PaperFolder:
    made = PaperFolder(folder, replace=replace)
    list(write_papers(files.items(), made))
    return made


def test_what_was_written_is_replaced_the_next_time(tmp_path: Path) -> None:
    for text in (b"one", b"two"):
        written(tmp_path / "out", {"a.txt": text})
        assert (tmp_path / "out" / "a.txt").read_bytes() == text


def test_somebody_elses_file_stays(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"mine")
    with pytest.raises(StoreError, match=r"a\.txt: already there, and not written by fuseplan papers; accepted is"):
        written(tmp_path, {"a.txt": b"theirs"})
    assert (tmp_path / "a.txt").read_bytes() == b"mine"


def test_a_file_changed_since_stays(tmp_path: Path) -> None:
    written(tmp_path, {"a.txt": b"one", "b.txt": b"one"})
    (tmp_path / "b.txt").write_bytes(b"filled in by hand")
    with pytest.raises(StoreError, match=r"b\.txt: changed since it was written; accepted is"):
        written(tmp_path, {"a.txt": b"two", "b.txt": b"two"})
    assert (tmp_path / "b.txt").read_bytes() == b"filled in by hand"
    assert (tmp_path / "a.txt").read_bytes() == b"two"
    # What was written before the refusal is noted, so that it can be replaced again.
    written(tmp_path, {"a.txt": b"three"})


def test_who_asks_for_it_has_everything_replaced(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"mine")
    written(tmp_path, {"a.txt": b"theirs"}, replace=True)
    assert (tmp_path / "a.txt").read_bytes() == b"theirs"
    written(tmp_path, {"a.txt": b"again"})


def test_papers_that_were_not_written_anew_are_named(tmp_path: Path) -> None:
    written(tmp_path, {"a.txt": b"one", "old.txt": b"one"})
    assert written(tmp_path, {"a.txt": b"two"}).left == [tmp_path / "old.txt"]
    (tmp_path / "old.txt").unlink()
    assert written(tmp_path, {"a.txt": b"two"}).left == []


def test_what_was_written_is_noted_however_it_ends(tmp_path: Path) -> None:
    def failing() -> Iterator[tuple[str, bytes]]:
        yield "a.txt", b"one"
        raise PaperError("no more")

    with pytest.raises(PaperError):
        list(write_papers(failing(), PaperFolder(tmp_path)))
    written(tmp_path, {"a.txt": b"two"})
    stopped = write_papers({"c.txt": b"one", "d.txt": b"one"}.items(), PaperFolder(tmp_path))
    next(stopped)
    stopped.close()
    written(tmp_path, {"c.txt": b"two"})


def test_a_file_where_the_folder_should_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"")
    with pytest.raises(StoreError, match="a file is in the way"):
        PaperFolder(tmp_path / "out")


@pytest.mark.parametrize("raw", [b"", b"\xff\xfe", b"no digest", b"  \n\n", b"../../x  ../../x\n"])
def test_a_damaged_list_only_means_that_nothing_is_known(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / LIST).write_bytes(raw)
    (tmp_path / "a.txt").write_bytes(b"mine")
    with pytest.raises(StoreError, match="not written by fuseplan papers"):
        written(tmp_path, {"a.txt": b"theirs"})


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="needs sha256sum")
def test_the_list_is_one_that_other_programs_check(tmp_path: Path) -> None:
    written(tmp_path, {"a.txt": b"one", "b.txt": b"two"})
    subprocess.run(["sha256sum", "--check", "--quiet", LIST], cwd=tmp_path, check=True, timeout=30)
