"""``fuseplan new``, ``circuits``, ``schema``, ``cautions``, ``--version``, ``--help``."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from cli_processes import commands

import fuseplan as package
from fuseplan.planfile.library import definitions
from tests.lazily import Lazily

jsonschema = Lazily("jsonschema")


def test_version(fuseplan):
    assert fuseplan("--version").out == f"fuseplan {package.__version__}\n"


def test_help_shows_every_command_and_examples(fuseplan):
    out = fuseplan("--help").out
    assert len(commands()) >= 5
    for name in commands():
        assert f"    {name}" in out
        assert fuseplan(name, "--help").status == 0
    assert "examples:" in out
    assert "exit status of check: 0" in out
    assert "qualified auto electrician" in out


@pytest.mark.parametrize(("words", "said"), [
    (("check", "car.toml", "--ful"), "fuseplan check: there is no option '--ful'; the nearest known is '--full'\n"),
    (("checks", "--jsno=x"), "fuseplan checks: there is no option '--jsno'; known: -h, --help\n"),
    (("check", "car.toml", "van.toml"), "fuseplan check: 'van.toml' is one argument too many\n"),
    (("--versio",), "fuseplan: there is no option '--versio'; the nearest known is '--version'\n"),
])
def test_what_a_command_does_not_know_is_said_by_it_with_what_it_does(fuseplan, words: tuple[str, ...], said: str):
    ran = fuseplan(*words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.endswith(said)
    assert ran.err.startswith(f"usage: {said.partition(':')[0]} ")


def test_new_writes_a_plan_that_check_reads(fuseplan, tmp_path: Path):
    ran = fuseplan("new", "my car.toml", "--name", "Brannic 900 estate", "--take", "fan_single", "--take", "horn")
    assert (ran.status, ran.err) == (0, "")
    assert "'my car.toml'" in ran.out
    assert "qualified auto electrician" in ran.out
    assert "may start with the key off" in ran.out.replace("\n  ", " ")
    data = tomllib.loads((tmp_path / "my car.toml").read_text(encoding="utf-8"))
    assert data["vehicle"]["name"] == "Brannic 900 estate"
    assert len(data["circuit"]) == 2
    checked = fuseplan("check", "my car.toml")
    assert checked.status in (0, 1)
    assert "Brannic 900 estate" in checked.out


def test_new_writes_a_plan_whose_own_feeds_pass(fuseplan, tmp_path: Path):
    """70 mm² wire for 125 °C: 245 A (DIN VDE 0298-4 table 11) for a rise of 40 K; at 90 °C 35 K are left, so
    √(35 / 40) · 245 A = 229 A, and the 200 A main fuse protects it."""
    fuseplan("new", "car.toml", "--take", "dip_beam_left", "--take", "fuel_pump_in_line")
    result = json.loads(fuseplan("check", "car.toml", "--json").out)
    assert [finding for finding in result["findings"] if finding["level"] == "danger"] == []
    bus, = (feed for feed in result["feeds"] if feed["id"] == "main_bus")
    assert bus["segments"][0]["ampacity_a"] == pytest.approx(245 * (35 / 40) ** 0.5)
    assert [finding["check"] for finding in result["findings"] if finding["subject"] == "dip_left"] == []


def test_new_never_overwrites(fuseplan, tmp_path: Path):
    (tmp_path / "plan.toml").write_text("mine", encoding="utf-8")
    ran = fuseplan("new", "plan.toml")
    assert (ran.status, ran.out) == (2, "")
    assert "plan.toml" in ran.err
    assert (tmp_path / "plan.toml").read_text(encoding="utf-8") == "mine"


def test_new_takes_only_what_the_library_holds(fuseplan, tmp_path: Path):
    ran = fuseplan("new", "plan.toml", "--take", "fan_singel")
    assert (ran.status, ran.out) == (2, "")
    assert "'fan_single'" in ran.err
    assert not (tmp_path / "plan.toml").exists()


def test_circuits_lists_by_group_and_shows_one(fuseplan):
    everything = fuseplan("circuits").out
    cooling = fuseplan("circuits", "--group", "cooling").out
    assert "fan_single" in cooling
    assert "radio" not in cooling
    assert "radio" in everything
    one = fuseplan("circuits", "fan_single").out
    assert "⚠ The fan may start with the key off" in one
    assert "[circuit.fan]" in one


def test_circuits_finds_what_people_call_them(fuseplan):
    assert "dip_beam_left" in fuseplan("circuits", "headlight").out
    signals = fuseplan("circuits", "turn signal").out
    assert "indicators_right" in signals
    assert "radio" not in signals
    nothing = fuseplan("circuits", "--group", "cooling", "headlight")
    assert (nothing.status, nothing.out) == (2, "")
    assert fuseplan("circuits", "fuel_pmp").err.endswith("the nearest known is 'fuel_pump_lift'\n")


def test_the_plan_schema_accepts_the_plans_here(fuseplan, small, hostile):
    ran = fuseplan("schema", "plan")
    assert ran.err == ""
    schema = json.loads(ran.out)
    assert schema["$defs"]["Vehicle"]["properties"]["system"]["default"] == "12 V"
    jsonschema.Draft202012Validator.check_schema(schema)
    for plan in (small, hostile):
        jsonschema.validate(tomllib.loads(plan.read_text(encoding="utf-8")), schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"fuseplan": 1, "vehicel": {}}, schema)


def test_the_result_schema_accepts_what_check_prints(fuseplan, small, quiet, hostile):
    schema = json.loads(fuseplan("schema", "result").out)
    jsonschema.Draft202012Validator.check_schema(schema)
    for plan in (small, quiet, hostile):
        text = fuseplan("check", plan, "--json").out
        jsonschema.validate(json.loads(text), schema)
    broken = json.loads(text)
    broken["circuits"][0]["verdict"] = "fine"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(broken, schema)


def test_cautions(fuseplan):
    out = fuseplan("cautions").out
    for words in ("earth lead comes off first", "Airbags", "welding", "Source:", "qualified auto electrician"):
        assert words in out
    assert "welding" not in fuseplan("cautions", "fuel").out


def test_a_new_plan_says_each_caution_once(fuseplan):
    both = [each for each in definitions().values() if each.id in ("dip_beam_left", "dip_beam_right")]
    assert len({each.caution for each in both}) == 1
    out = " ".join(fuseplan("new", "car.toml", *(word for each in both for word in ("--take", each.id))).out.split())
    assert out.count(both[0].caution) == 1
    assert all(each.title in out for each in both)


@pytest.mark.parametrize("columns", [60, *(pytest.param(each, marks=pytest.mark.rest) for each in (80, 132))])
def test_help_is_no_wider_than_the_terminal(fuseplan, monkeypatch: pytest.MonkeyPatch, columns: int):
    monkeypatch.setenv("COLUMNS", str(columns))
    for arguments in ([], *([name] for name in commands())):
        for line in fuseplan(*arguments, "--help").out.splitlines():
            # A command to type is never broken.
            assert len(line) <= columns or line.startswith("  fuseplan "), (arguments, line)
