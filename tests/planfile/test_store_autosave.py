"""Work is kept as soon as it is offered, the newest always in the end, and how old the rest is is told truly."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.planfile import autosave
from fuseplan.planfile.autosave import Autosave
from fuseplan.planfile.recovery import Keeper, Work

WAIT_S = 60.0


class Disk:
    """A disk that takes as long, and fails as often, as a test wants."""

    def __init__(self) -> None:
        self.now_s = 0.0
        self.free = threading.Event()
        self.free.set()
        self.works = True
        self.begun = threading.Semaphore(0)
        self.done = threading.Semaphore(0)
        self.kept: list[str] = []

    def keep(self, work: Work) -> bool:
        self.begun.release()
        assert self.free.wait(WAIT_S)
        if self.works:
            self.kept.append(work.text)
        self.done.release()
        return self.works

    def clock(self) -> float:
        return self.now_s


@pytest.fixture
def disk() -> Disk:
    return Disk()


@pytest.fixture
def saver(disk: Disk, monkeypatch: pytest.MonkeyPatch) -> Iterator[Autosave]:
    monkeypatch.setattr(autosave, "PAUSE_S", 0.001)
    monkeypatch.setattr(autosave, "RETRY_S", 0.001)
    made = Autosave(disk.keep, disk.clock)
    yield made
    disk.free.set()
    disk.works = True
    made.close()


def work(text: str) -> Work:
    return Work(text, (), None, 0)


def settled(saver: Autosave, disk: Disk) -> bool:
    """Wait until nothing is left to keep; the clock moves on, as the age of what has just come is 0."""
    disk.now_s += 1.0
    pause = threading.Event()
    return any(saver.behind_s() == 0 or pause.wait(0.01) for _ in range(3000))


def test_what_is_offered_is_kept_without_anybody_waiting_for_it(saver: Autosave, disk: Disk) -> None:
    saver.offer(work("one"))
    assert disk.done.acquire(timeout=WAIT_S)
    assert disk.kept == ["one"]


def test_of_what_comes_while_the_disk_is_busy_the_newest_is_kept(saver: Autosave, disk: Disk) -> None:
    disk.free.clear()
    saver.offer(work("0"))
    assert disk.begun.acquire(timeout=WAIT_S)
    for number in range(1, 50):
        saver.offer(work(str(number)))
    disk.free.set()
    assert settled(saver, disk)
    assert disk.kept == ["0", "49"]


def test_the_age_told_is_that_of_the_oldest_change_on_no_disk(saver: Autosave, disk: Disk) -> None:
    assert saver.behind_s() == 0
    disk.free.clear()
    saver.offer(work("one"))
    assert disk.begun.acquire(timeout=WAIT_S)
    disk.now_s = 2.0
    saver.offer(work("two"))
    disk.now_s = 5.0
    assert saver.behind_s() == 5.0, "what is being written is not there yet"
    disk.works = False
    disk.free.set()
    assert disk.done.acquire(timeout=WAIT_S)
    assert saver.behind_s() == 5.0, "nor what could not be written"
    disk.works = True
    assert settled(saver, disk)
    assert disk.kept[-1] == "two"


def test_what_could_not_be_kept_is_tried_again(saver: Autosave, disk: Disk) -> None:
    disk.works = False
    saver.offer(work("one"))
    for _ in range(3):
        assert disk.done.acquire(timeout=WAIT_S)
    assert disk.kept == []
    disk.works = True
    assert settled(saver, disk)
    assert disk.kept == ["one"]


def test_closing_keeps_what_is_waiting_and_never_hangs(disk: Disk) -> None:
    made = Autosave(disk.keep, disk.clock)
    made.offer(work("one"))
    made.close()
    assert disk.kept == ["one"]
    disk.works = False
    made = Autosave(disk.keep, disk.clock)
    made.offer(work("two"))
    made.close()
    assert disk.kept == ["one"]


def test_what_is_kept_late_lies_where_the_first_was_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "first"))
    keeper = Keeper(None)
    keeper.keep(keeper.work("early = 1\n", ()))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "second"))
    keeper.keep(keeper.work("late = 1\n", ()))
    assert "late" in keeper.file.read_text()
    assert keeper.file.is_relative_to(tmp_path / "first")
    assert not (tmp_path / "second").exists(), "it is not offered to whoever begins there"
    keeper.close()


def test_nothing_older_takes_the_place_of_something_newer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    keeper = Keeper(None)
    older, newer = keeper.work("older = 1\n", ()), keeper.work("newer = 1\n", ())
    keeper.keep(newer)
    keeper.keep(older)
    assert "newer" in keeper.file.read_text()
    keeper.clear(older)
    assert keeper.file.exists()
    keeper.clear(keeper.work("", ()))
    assert not keeper.file.exists()
    stale = keeper.work("stale = 1\n", ())
    keeper.drop()
    keeper.keep(stale)
    assert not keeper.file.exists(), "it was saved or dropped meanwhile"
    other = Keeper(None)
    other.keep(stale)
    assert not other.file.exists(), "it belongs to another file"
    keeper.close()
    other.close()
