"""``fuseplan explain`` and ``fuseplan compare-limits`` as they are called."""

from __future__ import annotations

import json
import re
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
    assert main(["explain", CAR, "fuel_pump.fuse.range_a.low"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("circuits.fuel_pump.fuse.range_a.low = ")
    assert "Iᵣ = I / (s · f) = " in out
    assert "Sources" in out
    assert "[1] " in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_a_working_as_json_by_another_limit_set(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.segments.0.ampacity_a", "--limits", "aircraft", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["limits"] == "aircraft"
    assert found["steps"][-1]["result"] == pytest.approx(found["value"])
    assert any("AC 43.13-1B" in source for source in found["sources"])
    assert {step["source"] for step in found["steps"]} == set(range(1, len(found["sources"]) + 1))


def test_what_rests_on_memory_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.load_current_a.continuous"]) == 0
    assert "from memory: check the datasheet" in capsys.readouterr().out


@pytest.mark.parametrize(("address", "said"), [
    ("findings", r"findings = \d+, told by fuseplan check PLAN --full"),
    ("not_said", r"not_said = \d+, told by fuseplan check PLAN --full"),
    ("fuel_pump.missing", r"circuits\.fuel_pump\.missing = none"),
    ("starter_solenoid.not_said", r"circuits\.starter_solenoid\.not_said = what keeps the starter from [^']+"),
])
def test_lists_are_written_for_people(address: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, address]) == 0
    assert re.fullmatch(said, capsys.readouterr().out.splitlines()[0])


def test_a_drop_is_followed_back_on_both_sides(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.drop.volts"]) == 0
    steps = capsys.readouterr().out.partition("Sources")[0]
    assert "lost on both sides: " in steps
    assert "ΔU = I · R = " in steps.partition("on the supply side")[0]
    assert "ΔU = I · R = " in steps.partition("on the supply side")[2].partition("on the return side")[0]


def test_without_an_address_an_overview_of_what_there_is(capsys: pytest.CaptureFixture[str]) -> None:
    for car in sorted(shipped_folder("examples").glob("*.toml")):
        assert main(["explain", str(car)]) == 0
        out = capsys.readouterr().out
        assert len(out.splitlines()) <= 40
        for kind in ("conditions", "circuits", "feeds", "earths"):
            assert f"{kind} (" in out
        assert "fuseplan explain PLAN" in out
    assert main(["explain", CAR, "--json"]) == 0
    found = {each["address"]: each for each in json.loads(capsys.readouterr().out)}
    assert "circuits.fuel_pump" in found["circuits"]["members"]
    assert found["power.regulator_v"]["unit"] == "V"


@pytest.mark.parametrize("typed", ["fuel_pump", "circuits.fuel_pump"])
def test_a_part_lists_its_own_figures(typed: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, typed]) == 0
    out = capsys.readouterr().out
    assert out.startswith("circuits.fuel_pump: Fuel pump")
    for address in ("load_current_a.continuous", "fuse.range_a.low", "relay.plain_switch_a", "fault.far_end_a"):
        assert f"\n  {address} " in out
    assert "in_condition (" in out
    assert "in_condition.crank.current_a" not in out
    assert main(["explain", CAR, typed, "--json"]) == 0
    found = {each["address"]: each for each in json.loads(capsys.readouterr().out)}
    assert found["circuits.fuel_pump.fuse.range_a.low"]["value"] > 0
    assert found["circuits.fuel_pump.segments"]["members"][0] == "circuits.fuel_pump.segments.0"


def test_a_range_goes_by_number_too(capsys: pytest.CaptureFixture[str]) -> None:
    outs = []
    for end in ("low", "0"):
        assert main(["explain", CAR, f"circuits.fuel_pump.fuse.range_a.{end}"]) == 0
        outs.append(capsys.readouterr().out)
    assert outs[0] == outs[1]


def test_a_word_finds_parts_and_figures(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "pump"]) == 0
    out = capsys.readouterr().out
    assert "circuits.fuel_pump: Fuel pump" in out
    assert main(["explain", CAR, "voltage regulator", "--json"]) == 0
    assert "power.regulator_v" in [each["address"] for each in json.loads(capsys.readouterr().out)]


def test_a_figure_or_limit_set_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", CAR, "fuel_pump.fuse.rang_a"]) == 2
    assert "circuits.fuel_pump.fuse has no 'rang_a'; the nearest known is 'range_a'" in capsys.readouterr().err
    assert main(["explain", CAR, "flux capacitor"]) == 2
    assert "there is no figure or part 'flux capacitor'" in capsys.readouterr().err
    assert main(["explain", CAR, "--limits", "rode"]) == 2
    assert "the nearest known is 'road'" in capsys.readouterr().err
    assert main(["compare-limits", CAR, "--limits", "\x1b[31m"]) == 2
    assert "\x1b" not in capsys.readouterr().err


def test_names_from_the_file_never_act(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(HOSTILE, encoding="utf-8")
    for arguments in (*(["explain", str(plan), *each] for each in ([], ["lamp"], ["lamp.fuse.range_a.low"], ["cmd()"])),
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
    assert "ask a qualified auto electrician" in " ".join(out.split())
    assert main(["compare-limits", CAR, "--limits", "road", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["disagreements"] == 0
    assert set(found["circuits"][0]["by"]) == {"road"}
