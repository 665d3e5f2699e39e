"""What ``fuseplan check`` prints and how it ends."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from pathlib import Path

import pytest

from fuseplan.planfile.library import shipped_folder
from tests.lazily import Lazily

pd = Lazily("pandas")


def test_text_names_every_circuit_and_every_part_of_the_answer(fuseplan, small):
    ran = fuseplan("check", small, "--full")
    assert ran.err == ""
    for words in ("Ostrel 1100 van", "[road]", "12 V", "Heater blower", "Radiator fan", "Radio", "Airbag", "Circuits",
                  "Balance at the battery", "Feeds", "main bus", "Earth points", "DANGER", "Source", "Fix", "Caution",
                  "Unknown, and why", "Checked against", "Findings:", "qualified auto electrician", "Local law"):
        assert words in ran.out, words
    assert max(map(len, ran.out.splitlines())) <= 100


def test_status_is_1_with_findings_and_0_without(fuseplan, small, quiet):
    assert fuseplan("check", small).status == 1
    assert fuseplan("check", quiet).status == 0


def test_a_circuit_without_a_current_says_what_is_missing(fuseplan, small):
    out = fuseplan("check", small, "--full").out
    unknown = out[out.index("Unknown, and why"):]
    assert re.search(r"Radio: missing .*current", unknown)
    assert re.search(r"^  Radio\b.*\? unknown$", out, re.MULTILINE)


def test_out_of_scope_gets_no_figures(fuseplan, small):
    row = next(line for line in fuseplan("check", small, "--full").out.splitlines()
               if line.startswith("  Airbag "))
    assert not re.search(r"\d", row)
    assert row.endswith("? unknown")


def test_text_is_plain_when_piped(fuseplan, small):
    assert "\x1b" not in fuseplan("check", small, TERM="xterm-256color", FORCE_COLOR="1").out


def test_json_has_every_key_of_the_result_document(fuseplan, small):
    ran = fuseplan("check", small, "--json")
    assert ran.status == 1
    document = json.loads(ran.out)
    assert {"fuseplan", "plan", "limits", "conditions", "circuits", "feeds", "earths", "power", "findings"} <= set(
        document)
    keys = {
        "conditions": {"id", "state", "bus_v", "demand_a", "available_a", "battery_a"},
        "circuits": {"id", "name", "verdict", "load_current_a", "in_condition", "drop", "fuse", "segments", "relay",
                     "fault"},
        "feeds": {"id", "from", "resistance_ohm", "in_condition", "fuse"},
        "earths": {"id", "to", "resistance_ohm", "in_condition"},
        "findings": {"check", "level", "subject", "message", "figure", "limit", "unit", "limits", "source", "fix",
                     "caution"},
    }
    for name, wanted in keys.items():
        assert document[name], name
        for each in document[name]:
            assert wanted <= set(each), name
    blower = next(each for each in document["circuits"] if each["id"] == "blower")
    assert set(blower["load_current_a"]) == {"5s", "5min", "continuous"}
    assert {"volts", "supply_v", "return_v", "limit_v", "class", "condition"} <= set(blower["drop"])
    assert {"kind", "rating_a", "proposed_a", "range_a", "share"} <= set(blower["fuse"])
    assert {"needed", "why"} <= set(blower["relay"])
    assert {"prospective_a", "far_end_a", "max_clearing_s", "wire_survives"} <= set(blower["fault"])
    assert {segment["side"] for segment in blower["segments"]} == {"supply", "return"}
    for segment in blower["segments"]:
        assert {"size_mm2", "length_m", "resistance_ohm", "ampacity_a", "current_a", "temperature_c",
                "binding"} <= set(segment)
    ids = [each["id"] for each in document["conditions"]]
    for name, wanted in (("circuits", {"current_a", "load_v", "live"}), ("feeds", {"volts", "current_a", "live"}),
                         ("earths", {"volts", "current_a"})):
        for each in document[name]:
            assert list(each["in_condition"]) == ids
            for figures in each["in_condition"].values():
                assert wanted <= set(figures)


def test_json_is_strict_json(fuseplan, small, hostile):
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    for plan in (small, hostile):
        json.loads(fuseplan("check", plan, "--json").out, parse_constant=refuse)


def test_one_circuit_in_detail(fuseplan, small):
    ran = fuseplan("check", small, "--circuit", "blower")
    assert "Heater blower (circuit blower)" in ran.out
    assert "current known by: measured" in ran.out
    assert re.search(r"^  earth wire", ran.out, re.MULTILINE)
    assert "Radiator fan" not in ran.out
    document = json.loads(fuseplan("check", small, "--circuit", "fan", "--json").out)
    assert [each["id"] for each in document["circuits"]] == ["fan"]
    assert document["findings"]
    assert {each["subject"] for each in document["findings"]} == {"fan"}


@pytest.mark.parametrize(("name", "kind", "words"), [("coupe_turbo", "feed", "feed"),
                                                     ("six_volt_tourer", "earth", "earth point")])
def test_one_feed_or_earth_point_in_detail(fuseplan, name: str, kind: str, words: str):
    plan = shipped_folder("examples") / f"{name}.toml"
    whole = json.loads(fuseplan("check", plan, "--json").out)
    about = {each["subject"] for each in whole["findings"] if each["subject_kind"] == kind}
    assert about
    quiet = next(each["id"] for each in whole[f"{kind}s"] if each["id"] not in about)
    for each in [one for one in whole[f"{kind}s"] if one["id"] in {*about, quiet}]:
        ran = fuseplan("check", plan, f"--{kind}", each["id"])
        text = " ".join(ran.out.split())
        assert f"({words} {each['id']})" in text
        assert (f"No findings about this {words}." in text) is (each["id"] not in about)
        found = [one for one in whole["findings"] if (one["subject_kind"], one["subject"]) == (kind, each["id"])]
        assert all(" ".join(one["message"].split()) in text for one in found if not one["measure"])
        assert ran.status == int(any(one["level"] != "advice" for one in found))
        for condition in whole["conditions"]:
            assert f"{condition['name']}: " in text
    document = json.loads(fuseplan("check", plan, f"--{kind}", each["id"], "--json").out)
    assert [one["id"] for one in document[f"{kind}s"]] == [each["id"]]
    assert {(one["subject_kind"], one["subject"]) for one in document["findings"]} <= {(kind, each["id"])}


def test_a_feed_says_what_it_supplies_and_an_earth_point_what_is_earthed_on_it(fuseplan):
    plan = shipped_folder("examples") / "coupe_turbo.toml"
    supplies = " ".join(fuseplan("check", plan, "--feed", "coils_30").out.split())
    assert "the relay coil of 'Horn'" in supplies
    earthed = " ".join(fuseplan("check", plan, "--earth", "body_front").out.split())
    assert "'Right-hand front panel'" in earthed
    assert "'Washer pump'" in earthed


def test_one_part_at_a_time_and_one_that_is_there(fuseplan, small):
    ran = fuseplan("check", small, "--feed", "x", "--earth", "y")
    assert (ran.status, ran.out) == (2, "")
    assert "--feed and --earth; accepted is one part at a time" in ran.err
    ran = fuseplan("check", small, "--earth", "bodyy")
    assert (ran.status, ran.out) == (2, "")
    assert "there is no earth point 'bodyy'" in ran.err


def test_an_unknown_circuit_names_the_nearest(fuseplan, small):
    ran = fuseplan("check", small, "--circuit", "blowr")
    assert (ran.status, ran.out) == (2, "")
    assert "'blowr'" in ran.err
    assert "'blower'" in ran.err


def test_an_unknown_limit_set_names_those_on_file(fuseplan, small):
    ran = fuseplan("check", small, "--limits", "rood")
    assert (ran.status, ran.out) == (2, "")
    assert "rood" in ran.err
    assert "road" in ran.err


def test_csv_files_agree_with_the_json(fuseplan, small, tmp_path: Path):
    ran = fuseplan("check", small, "--json", "--csv", "lists/deep")
    document = json.loads(ran.out)
    folder = tmp_path / "lists" / "deep"
    assert sorted(file.name for file in folder.iterdir()) == [
        "circuits.csv", "findings.csv", "not_said.csv", "segments.csv"]
    circuits = pd.read_csv(folder / "circuits.csv")
    assert circuits["id"].tolist() == [each["id"] for each in document["circuits"]]
    assert circuits["verdict"].tolist() == [each["verdict"] for each in document["circuits"]]
    findings = pd.read_csv(folder / "findings.csv")
    assert findings["check"].tolist() == [each["check"] for each in document["findings"]]
    segments = pd.read_csv(folder / "segments.csv")
    wanted = [each["resistance_ohm"] for circuit in document["circuits"] for each in circuit["segments"]]
    got = segments.loc[segments["owner_kind"] == "circuit", "resistance_ohm"].tolist()
    assert wanted
    assert all(abs(one - two) <= 1e-9 * one for one, two in zip(wanted, got, strict=True))
    # Written again over its own files.
    assert fuseplan("check", small, "--csv", "lists/deep").status == 1


def test_csv_refuses_a_file_in_the_way(fuseplan, small, tmp_path: Path):
    (tmp_path / "lists").write_text("mine", encoding="utf-8")
    ran = fuseplan("check", small, "--csv", "lists")
    assert ran.status == 2
    assert "lists: a file is in the way" in ran.err
    assert (tmp_path / "lists").read_text(encoding="utf-8") == "mine"


def test_csv_is_rfc_4180_and_utf_8(fuseplan, small, tmp_path: Path):
    shutil.copy(small, tmp_path / "plan.toml")
    text = (tmp_path / "plan.toml").read_text(encoding="utf-8").replace('"Heater blower"', "'Gebläse \"2\", links'")
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    fuseplan("check", "plan.toml", "--csv", "lists", LC_ALL="C")
    raw = (tmp_path / "lists" / "circuits.csv").read_bytes()
    assert raw.count(b"\n") == raw.count(b"\r\n")
    assert '"Gebläse ""2"", links"'.encode() in raw
    assert list(csv.reader(io.StringIO(raw.decode("utf-8"))))[1][1] == 'Gebläse "2", links'
