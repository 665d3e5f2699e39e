"""Whatever a terminal sends, the program goes on, or ends and says so; it never ends as if somebody had left it.

Esc and a key right after it are two keys, as the terminal sends the same for them as for the key held with Alt.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from textual import events
from textual.message import Message

from fuseplan.cli.exit_status import AFTER_SIGNAL, PROGRAM_ERROR
from fuseplan.planfile.read import read_plan
from fuseplan.tui import app as program
from fuseplan.tui.actions import ACTIONS
from fuseplan.tui.app import FuseplanApp
from fuseplan.workspace.session import Session

from .conftest import WAIT_S
from .test_killed import Typist

Read = Callable[..., list[Message]]


@pytest.fixture
def typist(car: Path, tmp_path: Path) -> Iterator[Typist]:
    """The table of circuits in a terminal."""
    made = Typist(car, tmp_path / "journal")
    try:
        wait_for(made, b"all actions")
        os.write(made.terminal, b"1")
        wait_for(made, b"Verdict")
        yield made
    finally:
        made.leave()


def wait_for(typist: Typist, what: bytes) -> None:
    end = time.monotonic() + WAIT_S
    while what not in typist.seen:
        assert typist.process.poll() is None, (what, typist.seen[-2000:])
        assert time.monotonic() < end, (what, typist.seen[-2000:])
        time.sleep(0.02)


@pytest.fixture(scope="module")
def read() -> Read:
    """What the program takes from what a terminal sends in one piece or several, with Esc still waiting at the end."""
    module = sys.modules[FuseplanApp(Session.of_text("fuseplan = 1\n")).get_driver_class().__module__]

    def read(*pieces: str) -> list[Message]:
        parser = module.XTermParser()  # type: ignore[attr-defined]
        return [message for piece in pieces for message in parser.feed(piece)]

    return read


def names(messages: list[Message]) -> list[tuple[str, str | None]]:
    assert all(isinstance(each, events.Key) for each in messages)
    return [(each.key, each.character) for each in messages if isinstance(each, events.Key)]


SENT_BY_ONE = [*sorted({key for action in ACTIONS for key in action.keys if len(key) == 1} - {"b", "f"}),
               *"\r\t /?!-=§0é", *(chr(1 + number) for number in range(26))]
SENT_BY_MORE = ["\x1b[A", "\x1b[B", "\x1bOP", "\x1b[3~", "\x1b[Z", "\x1b[1;2A"]


@pytest.mark.parametrize("sent", SENT_BY_ONE + SENT_BY_MORE, ids=ascii)
def test_escape_and_a_key_right_after_it_are_both(read: Read, sent: str) -> None:
    """Together, in two pieces, and between other keys: Esc is neither lost nor waits for anything, nor does the key."""
    alone = names(read(sent))
    assert len(alone) == 1
    escape = ("escape", "\x1b")
    assert names(read(f"\x1b{sent}"))[:2] == [escape, *alone]
    assert names(read("\x1b", sent)) == [escape, *alone]
    assert names(read(f"q\x1b{sent}", f"\x1b{sent}x")) == [("q", "q"), escape, *alone, escape, *alone, ("x", "x")]
    assert names(read(f"\x1b\x1b{sent}\x1b{sent}")) == [escape, escape, *alone, escape, *alone]


@pytest.mark.parametrize(("sent", "key"), [("\x1bb", "ctrl+left"), ("\x1bf", "ctrl+right"), ("\x1b\x7f", "ctrl+w")])
def test_alt_moves_and_deletes_by_words_in_a_field(read: Read, sent: str, key: str) -> None:
    assert [name for name, _ in names(read(sent))] == [key]
    assert not [each for action in ACTIONS for each in action.keys if "alt+" in each]


def test_what_is_pasted_is_no_key_nor_is_the_mouse(read: Read) -> None:
    paste, after = read("\x1b[200~p\x1b[201~\x1b", "P")[0::2]
    assert isinstance(paste, events.Paste)
    assert paste.text == "p"
    assert names([after]) == [("P", "P")]
    down, *key = read("\x1b[<0;3;4M\x1bs")
    assert isinstance(down, events.MouseDown)
    assert [name for name, _ in names(key)] == ["escape", "s"]


def test_a_key_that_cannot_be_decoded_ends_nothing(typist: Typist, car: Path) -> None:
    """As from a terminal set to Latin-1: ü, ÿ, a piece of a letter, and what no encoding has."""
    os.write(typist.terminal, b"\xfc\xff\xc3\xfe\x80")
    os.write(typist.terminal, b"\r")
    wait_for(typist, b"what it is called")
    os.write(typist.terminal, b"\xff7")
    wait_for(typist, b"unsaved")
    os.write(typist.terminal, b"\x13")
    wait_for(typist, b"Saved to")
    assert read_plan(car).circuit["fuel_pump"].name == "\N{REPLACEMENT CHARACTER}7", "typing replaces"
    os.write(typist.terminal, b"\x11")
    assert typist.process.wait(WAIT_S) == 0


def test_a_terminal_that_goes_without_a_signal_ends_the_program_and_loses_nothing(typist: Typist, car: Path) -> None:
    os.write(typist.terminal, b"c")
    wait_for(typist, "● unsaved".encode())
    typist.hang_up()
    assert typist.process.wait(WAIT_S) == AFTER_SIGNAL + signal.SIGHUP
    assert ["fuel_pump_2" in each.text for each in Session.open(car).left_behind()] == [True]


@pytest.mark.usefixtures("faults")
def test_a_terminal_that_cannot_be_read_any_more_is_an_error(car: Path, capsys: pytest.CaptureFixture[str],
                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken(FuseplanApp):
        def on_ready(self) -> None:
            self.call_later(self.panic, "what the driver tells")

    run = FuseplanApp.run
    monkeypatch.setattr(program, "FuseplanApp", Broken)
    monkeypatch.setattr(Broken, "run", lambda self: run(self, headless=True), raising=False)
    assert program.run(car) == PROGRAM_ERROR
    assert "the terminal could not be read any more" in capsys.readouterr().err
    assert "what the driver tells" in (car.parent / "state" / "fuseplan" / "last_failure.txt").read_text()
