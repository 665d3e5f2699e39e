"""Old words of a plan: each is refused with its new word, and rewritten with nothing else of the file touched."""

from __future__ import annotations

import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from fuseplan.cli.main import main
from fuseplan.errors import EditError, PlanError, StoreError
from fuseplan.planfile import upgrade
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.old_words import KEYS, NAMES, VALUES, Renamed, renamed
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.upgrade import upgrade_file, upgraded

OLD = """\
fuseplan = 1   # the first line

[vehicle]
name = "after_run, regular, kept"   # text of the user's own
guidance   = "road"  # the limits

[alternator]
rated = "90 A"
setpoint = "14.2 V"
charge_wire = [
    { size = "16 mm2", length = "1.4 m", origin = "kept" },   # from the old loom
]

[condition.after_run]   # my own pump
state = "after_run"
when = ["hot", "after_run"]

[[trip.short.leg]]
condition = "after_run"
duration = "5 min"

[feed.post]
[feed.bus]
from = "post"
live = ['ignition', "after_run"]

[earth.minus]

[circuit.pump]
feed = "bus"
fuse = { kind = "regular", rating = "10 A", holder = "regular_in_line" }
wire = [{ size = "1 mm2", length = "1 m", origin = 'kept' }]
earth = "minus"
must_run = ["after_run"]
[[circuit.pump.load]]
current = "3 A"
when = ["after_run"]

[fuse_box.old]
feed = "bus"
position.F1 = { kind = "torpedo" }
"""
NEW = OLD.replace("guidance   =", "limits   =").replace("setpoint", "regulator_voltage").replace(
    "charge_wire", "cable").replace("[condition.after_run]", "[condition.run_on]").replace(
    '"after_run"', '"run_on"').replace('origin = "kept"', 'origin = "existing"').replace(
    "origin = 'kept'", 'origin = "existing"').replace('"regular', '"blade').replace("torpedo", "ceramic")


def test_every_word_is_rewritten_and_nothing_else() -> None:
    text, words = upgraded(OLD, tomllib.loads(OLD))
    assert text == NEW
    assert {word.old for word in words} == {
        *(str(path[-1]) for path in KEYS), "after_run", "kept", "regular", "regular_in_line", "torpedo"}
    parse_plan(text)


def test_a_second_time_changes_nothing() -> None:
    assert upgraded(NEW, tomllib.loads(NEW)) == (NEW, [])


def test_an_old_file_is_refused_word_by_word_with_line_and_new_word() -> None:
    with pytest.raises(PlanError) as caught:
        parse_plan(OLD, "car.toml")
    said = str(caught.value)
    assert "fuseplan upgrade PLAN" in said
    for line, word in ((5, "`guidance` is called `limits` now"), (9, "`setpoint` is called `regulator_voltage` now"),
                       (10, "`charge_wire` is called `cable` now"), (14, "`after_run` is called `run_on` now"),
                       (15, "`state` 'after_run' is called 'run_on' now"),
                       (31, "`kind` 'regular' is called 'blade' now")):
        assert any(each.startswith(f"car.toml:{line}: ") and word in each for each in said.splitlines()), word
    assert "unknown key" not in said


@pytest.mark.parametrize("text", [
    'fuseplan = 1\nvehicle = { guidance = "road" }\n', 'fuseplan = 1\nvehicle.guidance = "road"\n',
    'fuseplan = 1\n[vehicle]\n"guidance" = "road"\n', 'fuseplan = 1\n[condition]\nafter_run = { state = "off" }\n',
    'fuseplan = 1\n[condition]\nafter_run.state = "off"\n',
    'fuseplan = 1\nalternator = { rated = "9 A", setpoint = "14 V" }\n',
    'fuseplan = 1\n[[alternator.charge_wire]]\nsize = "6 mm2"\n[[alternator.charge_wire]]\nsize = "6 mm2"\n',
])
def test_however_a_key_is_written(text: str) -> None:
    new, words = upgraded(text, tomllib.loads(text))
    assert words
    assert not renamed(tomllib.loads(new))
    parse_plan(new)


def test_a_part_under_its_old_name_is_never_taken_for_another() -> None:
    """The rest of this plan is valid: the condition would stand beside the built-in one instead of replacing it."""
    with pytest.raises(PlanError, match="run_on"):
        parse_plan('fuseplan = 1\n[condition.after_run]\nstate = "off"\n')


def test_old_and_new_side_by_side_are_left_to_the_user() -> None:
    text = 'fuseplan = 1\n[alternator]\nsetpoint = "14 V"\nregulator_voltage = "14.2 V"\n'
    with pytest.raises(EditError, match=r"^car\.toml:3: alternator has both"):
        upgraded(text, tomllib.loads(text), "car.toml")


def test_no_new_word_is_old() -> None:
    new = {*KEYS.values(), *NAMES.values(), *(word for words in VALUES.values() for word in words.values())}
    old = {*(str(path[-1]) for path in (*KEYS, *NAMES)), *(word for words in VALUES.values() for word in words)}
    assert not new & old


@pytest.mark.parametrize("path", sorted(p for f in ("examples", "circuits") for p in shipped_folder(f).glob("*.toml")),
                         ids=lambda path: path.stem)
def test_what_is_shipped_is_up_to_date(path: Path) -> None:
    assert not renamed(tomllib.loads(path.read_text(encoding="utf-8")))


def test_the_command_rewrites_in_place_says_what_and_is_done_once(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "car.toml"
    file.write_bytes(OLD.replace("\n", "\r\n").encode())
    file.chmod(0o640)
    assert main(["upgrade", str(file), "--check"]) == 0
    out = capsys.readouterr().out
    assert '-setpoint = "14.2 V"' in out
    assert '+regulator_voltage = "14.2 V"' in out
    assert file.read_bytes() == OLD.replace("\n", "\r\n").encode()
    assert main(["upgrade", str(file)]) == 0
    assert "line 9: alternator: `setpoint` is called `regulator_voltage` now" in capsys.readouterr().out
    assert file.read_bytes() == NEW.replace("\n", "\r\n").encode()
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    before = file.stat().st_mtime_ns
    assert main(["upgrade", str(file)]) == 0
    assert "up to date" in capsys.readouterr().out
    assert file.stat().st_mtime_ns == before


def test_what_cannot_be_read_or_written_ends_in_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "car.toml"
    assert main(["upgrade", str(file)]) == 2
    file.write_text("fuseplan =", encoding="utf-8")
    assert main(["upgrade", str(file)]) == 2
    assert "car.toml:1" in capsys.readouterr().err
    file.write_text(OLD, encoding="utf-8")
    file.chmod(0o440)
    with pytest.raises(StoreError, match="write-protected"):
        upgrade_file(file, writes=True)
    assert file.read_text(encoding="utf-8") == OLD


def test_a_file_changed_meanwhile_or_rewritten_wrongly_stays_as_it_is(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "car.toml"
    file.write_text(OLD, encoding="utf-8")
    theirs = OLD + "# theirs\n"

    def meanwhile(text: str, data: Mapping[str, Any], name: str) -> tuple[str, list[Renamed]]:
        file.write_text(theirs, encoding="utf-8")
        return upgraded(text, data, name)

    monkeypatch.setattr(upgrade, "upgraded", meanwhile)
    with pytest.raises(StoreError, match="meanwhile"):
        upgrade_file(file, writes=True)
    assert file.read_text(encoding="utf-8") == theirs

    def wrongly(text: str, data: Mapping[str, Any], name: str) -> tuple[str, list[Renamed]]:
        new, words = upgraded(text, data, name)
        return new.replace("90 A", "60 A"), words

    monkeypatch.setattr(upgrade, "upgraded", wrongly)
    with pytest.raises(EditError, match=r"car\.toml"):
        upgrade_file(file, writes=True)
    assert file.read_text(encoding="utf-8") == theirs


def test_old_spellings_of_commands_and_options_are_taken_and_never_shown(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = str(shipped_folder("examples") / "track_car.toml")
    outs = []
    for words in (["compare-limits", plan, "--limits", "road", "--limits", "aircraft"],
                  ["compare-guidance", plan, "--guidance", "road", "--guidance=aircraft"]):
        main(words)
        outs.append(capsys.readouterr().out)
    assert "aircraft" in outs[0]
    assert outs[0] == outs[1]
    main(["--help"])
    main(["check", "--help"])
    assert "guidance" not in capsys.readouterr().out
