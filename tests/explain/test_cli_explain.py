"""``fuseplan explain`` and ``fuseplan compare-limits`` as they are called."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fuseplan.cli.main import main
from fuseplan.planfile.library import shipped_folder

CAR = str(shipped_folder("examples") / "track_car.toml")

HOSTILE = """
fuseplan = 1
[feed.post]
[earth.body]
[circuit.lamp]
name = "[red]=cmd()|\\u001b[31m\\u202e"
feed = "post"
fuse = { kind = "blade", rating = "5 A" }
wire = [{ size = "1 mm2", length = "1 m" }]
earth = "body"
[[circuit.lamp.load]]
name = "\\u001b]0;title\\u0007"
current = "1 A"
kind = "lamp"
"""


def test_a_working_as_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.fuse.window.low"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("circuit.fuel_pump.fuse.window.low = ")
    assert "Iᵣ = I / (s · f) = " in out
    assert "Sources" in out
    assert "[1] " in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_a_working_as_json_by_another_limit_set(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.wire.0.ampacity", "--limits", "aircraft", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["limits"] == "aircraft"
    assert found["steps"][-1]["result"] == pytest.approx(found["value"])
    assert any("AC 43.13-1B" in source for source in found["sources"])
    assert {step["source"] for step in found["steps"]} == set(range(1, len(found["sources"]) + 1))


def test_what_rests_on_memory_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.design"]) == 0
    assert "from memory: check the datasheet" in capsys.readouterr().out


def test_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR]) == 0
    whole = capsys.readouterr().out
    for address in ("fuel_pump.fuse.window ", "fuel_pump.drop ", "fuel_pump.relay ", "power.idle_wet_night.balance "):
        assert f"\n{address}" in whole
    assert main(["explain", CAR, "power.idle_wet_night.", "--json"]) == 0
    some = json.loads(capsys.readouterr().out)
    assert len(some) > 5
    assert all(each["figure"].startswith("power.idle_wet_night.") for each in some)


def test_a_figure_or_limit_set_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.fuse.windw"]) == 2
    assert "near are fuel_pump.fuse.window" in capsys.readouterr().err
    assert main(["explain", CAR, "--limits", "rode"]) == 2
    assert "the nearest known is 'road'" in capsys.readouterr().err
    assert main(["compare-limits", CAR, "--limits", "\x1b[31m"]) == 2
    assert "\x1b" not in capsys.readouterr().err


def test_names_from_the_file_never_act(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(HOSTILE, encoding="utf-8")
    for arguments in (["explain", str(plan)], ["explain", str(plan), "lamp.fuse.window"],
                      ["compare-limits", str(plan)]):
        assert main(arguments) in (0, 1)
        out = capsys.readouterr().out
        assert "\x1b" not in out
        assert "\u202e" not in out
        assert "\x07" not in out


def test_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare-limits", CAR, "--limits", "road", "--limits", "aircraft"]) == 1
    out = capsys.readouterr().out
    assert "≠ " in out
    assert "ask a qualified auto electrician" in out
    assert main(["compare-limits", CAR, "--limits", "road", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["disagreements"] == 0
    assert set(found["circuits"][0]["by"]) == {"road"}
