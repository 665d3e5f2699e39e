"""`fuseplan bench PLAN --diagnose`: from readings stored in the plan to suspects, evidence and the next reading."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.cli.main import main
from fuseplan.papers.paper import Wishes, Words
from fuseplan.papers.sheets.diagnosis_note import blocks
from fuseplan.planfile.read import read_plan
from tests.small_coupe import COUPE

READ = ("circuit.fuel_pump.current=4.1", "circuit.fuel_pump.load_v=10.4", "circuit.fuel_pump.return_mv=1630",
        "circuit.fuel_pump.supply_mv=250")


@pytest.fixture
def plan(tmp_path: Path) -> str:
    path = tmp_path / "car.toml"
    path.write_text(COUPE, encoding="utf-8")
    return str(path)


def _run(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str]:
    status = main(["bench", *args])
    return status, capsys.readouterr().out


def _reads(*values: str) -> list[str]:
    return [word for each in values for word in ("--read", each)]


def test_without_readings_it_says_what_to_read_first(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, said = _run(capsys, plan, "--diagnose", "horn")
    assert status == 0
    assert "Nothing was read yet" in said
    assert "--read circuit.horn." in said


def test_a_bad_earth_is_narrowed_down_to_the_joint_by_the_reading_it_asks_for(
        plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, said = _run(capsys, plan, *_reads(*READ), "--anyway", "--diagnose", "fuel_pump")
    assert status == 1
    assert "earth wire and its joint" in said
    assert "--read circuit.fuel_pump.earth_point_mv=" in said
    status, said = _run(capsys, plan, *_reads("circuit.fuel_pump.earth_point_mv=7"), "--anyway", "--diagnose",
                        "fuel_pump", "--json")
    found = json.loads(said)
    assert status == 1
    assert found["settled"]
    assert found["suspects"][0]["place"] == "circuit.fuel_pump.return"
    # 1623 mV at 4.1 A are 396 mΩ, of which the plan knows some.
    assert found["suspects"][0]["size"] == pytest.approx(0.39, rel=0.05)
    status, said = _run(capsys, plan, "--diagnose")
    assert status == 1
    assert "1 circuit read" in said
    assert "earth wire and its joint" in said


def test_a_weak_alternator_cable_is_told_from_readings_of_the_supply(
        plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, said = _run(capsys, plan, "--condition", "town_day", *_reads(
        "battery.volts=13.3", "alternator.volts=14.1", "alternator.cable_mv=640"), "--anyway", "--diagnose")
    assert status == 1
    assert "extra resistance in alternator cable" in said


def test_a_circuit_that_is_not_there_is_refused(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["bench", plan, "--diagnose", "horm"]) == 2
    assert "horn" in capsys.readouterr().err


def test_a_drain_is_hunted_by_the_millivolts_it_asks_for(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, said = _run(capsys, plan, "--condition", "parked", "--read", "battery.drain=420 mA", "--anyway",
                        "--diagnose")
    assert status == 1
    assert "Parked car" in said
    assert ".fuse_mv=" in said
    # 4.3 mV across the radio's fuse, about 10 mΩ cold.
    status, said = _run(capsys, plan, "--condition", "parked", "--read", "circuit.radio.fuse_mv=4.3 mV", "--anyway",
                        "--diagnose")
    assert status == 1
    assert "1. 'Radio' draws while the car is parked" in said


def test_a_circuit_whose_current_the_plan_does_not_say_is_refused(
        plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    path = Path(plan)
    text = path.read_text(encoding="utf-8")
    head, _, rest = text.partition("[[circuit.horn.load]]")
    line = next(each for each in rest.splitlines() if each.startswith(("current", "power")))
    path.write_text(f"{head}[[circuit.horn.load]]{rest.replace(line, '', 1)}", encoding="utf-8")
    assert main(["bench", plan, "--diagnose", "horn"]) == 2
    assert "the plan does not say" in capsys.readouterr().err
    # Among all that was read it is named too, and never passed over as if it were in order.
    status, said = _run(capsys, plan, "--read", "circuit.horn.current=5 A", "--anyway", "--diagnose")
    assert status == 1
    assert "1 circuit read" in said
    assert "'horn' cannot be diagnosed: the plan does not say" in " ".join(said.split())
    status, said = _run(capsys, plan, "--diagnose", "--json")
    assert (status, [each["circuit"] for each in json.loads(said)["not_diagnosed"]]) == (1, ["horn"])
    note = " ".join(block.text for block in blocks(assess(read_plan(path)), Wishes()) if isinstance(block, Words))
    assert "'horn' cannot be diagnosed" in note
