"""The library's definitions, the first plan made of them, and recovery files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fuseplan.errors import EditError, PlanError, StoreError
from fuseplan.planfile import library as shelf
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import circuit_for, definition, definitions, library, shipped_folder
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.recovery import Keeper, discard, left_behind
from fuseplan.planfile.starter import CIRCUITS, ZONES, starter_plan

HORN = """\
fuseplan = 1
[definition]
title = "Horn of my own"
group = "body"
note = "Listen."
caution = "Loud."

# Two of them.
[circuit.horn]
feed = "main_bus" # permanent
wire = [{ size = "1.5 mm2", length = "2 m", zone = "engine_bay" }]
earth = "body_front"
[[circuit.horn.load]]
current = "8 A"
evidence = "measured"
"""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Nobody's real folders are touched."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    folder = tmp_path / "config" / "fuseplan" / "circuits"
    folder.mkdir(parents=True)
    return folder


def test_shipped_definitions_all_read() -> None:
    found = library()
    assert found.problems == ()
    assert len(found.definitions) >= 35
    assert all(one.title and one.caution and one.circuits for one in found.definitions.values())


def test_own_definition_wins_and_a_broken_one_is_reported(own_folders: Path) -> None:
    (own_folders / "horn.toml").write_text(HORN)
    (own_folders / "spoilt.toml").write_text(HORN.replace("caution", "causion").replace('"8 A"', '"8"'))
    (own_folders / "binary.toml").write_bytes(b"\0")
    (own_folders / "notes.txt").write_text("not looked at")
    found = library()
    assert found.definitions["horn"].title == "Horn of my own"
    assert found.definitions["horn"].origin == own_folders / "horn.toml"
    assert definition("horn").title == "Horn of my own"
    said = [str(problem) for problem in found.problems]
    spoilt = own_folders / "spoilt.toml"
    assert any(line.startswith(f"{spoilt}:6: unknown key 'causion' in definition; the nearest") for line in said)
    assert any(line.startswith(f"{spoilt}:14: load 1 of circuit 'horn'") for line in said)
    assert any("byte 1 is zero" in line for line in said)
    assert "spoilt" not in found.definitions
    with pytest.raises(PlanError):
        definition("spoilt")
    with pytest.raises(EditError, match="the nearest known is 'horn'"):
        definition("hornn")


def test_shipped_folder_in_checkout_and_wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert (shipped_folder("circuits") / "horn.toml").is_file()
    package = tmp_path / "site" / "fuseplan"
    (package / "_shipped" / "examples").mkdir(parents=True)
    monkeypatch.setattr(shelf.fuseplan, "__file__", str(package / "__init__.py"))
    assert shipped_folder("examples") == package / "_shipped" / "examples"
    with pytest.raises(StoreError, match="install fuseplan again"):
        shipped_folder("circuits")


PLAN = """\
fuseplan = 1
[zone.Engine-Bay]
ambient = "90 degC"
[feed.post]
[feed.bus_a]
from = "post"
terminal = "30"
[earth.minus]
[earth.front_stud]
to = "minus"
[earth.engine]
to = "minus"
engine = true
"""


def test_names_of_the_library_become_the_plans(own_folders: Path) -> None:
    (own_folders / "my_horn.toml").write_text(HORN)
    document = PlanDocument.from_text(PLAN)
    fitted = circuit_for(document.plan, "my_horn")
    (name,) = fitted.texts
    assert fitted.missing == ()
    assert sorted(fitted.reports) == [
        "earth point 'body_front' of the library became 'front_stud' of this plan",
        "feed 'main_bus' of the library became 'bus_a' of this plan",
        "zone 'engine_bay' of the library became 'Engine-Bay' of this plan",
    ]
    document.insert_circuit(name, fitted.texts[name])
    circuit = document.plan.circuit[name]
    assert (circuit.feed, circuit.earth, circuit.wire[0].zone) == ("bus_a", "front_stud", "Engine-Bay")
    assert (circuit.taken_from, circuit.caution, circuit.note) == ("my_horn", "Loud.", "Listen.")
    assert f'# Two of them.\n[circuit.{name}]\nfeed = "bus_a" # permanent\n' in document.text
    by_table = PlanDocument.from_text(PLAN)
    by_table.insert_circuit(name, fitted.tables[name])
    assert by_table.plan == document.plan


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('[feed.bus_a]', '[feed.bus_b]\nfrom = "post"\nterminal = "30"\n[feed.bus_a]', "2 would do: bus_b, bus_a"),
        ('terminal = "30"', 'terminal = "15"', "this plan has no feed 'main_bus'"),
        ("[earth.front_stud]", '[earth.other]\nto = "minus"\n[earth.front_stud]', "2 would do: other, front_stud"),
        ("[zone.Engine-Bay]", "[zone.hot_part]", "this plan has no zone 'engine_bay'"),
    ],
)
def test_what_is_not_clear_is_left_and_reported(own_folders: Path, old: str, new: str, words: str) -> None:
    (own_folders / "my_horn.toml").write_text(HORN)
    document = PlanDocument.from_text(PLAN.replace(old, new))
    fitted = circuit_for(document.plan, "my_horn")
    (name,) = fitted.texts
    assert len(fitted.missing) == 1
    assert any(words in report for report in fitted.reports)
    with pytest.raises(EditError):
        document.insert_circuit(name, fitted.texts[name])


def test_every_definition_fits_the_first_plan() -> None:
    every = list(definitions())
    text = starter_plan("Everything", every)
    plan = parse_plan(text)
    assert {circuit.taken_from for circuit in plan.circuit.values()} == set(every)
    assert all(circuit.caution for circuit in plan.circuit.values())


def test_taken_twice_gets_another_name() -> None:
    document = PlanDocument.from_text(starter_plan("x", ["horn"]))
    (new,) = circuit_for(document.plan, "horn").texts
    assert new not in document.plan.circuit
    for each in ("fan_twin", "fan_twin"):
        several = circuit_for(document.plan, each)
        assert len(several.texts) == 2
        assert not set(several.texts) & set(document.plan.circuit)
        for name, table in several.tables.items():
            document.insert_circuit(name, table)


@pytest.mark.parametrize("name", ["Tarvel 1300 coupe", 'with "quotes" and \\', "zwei\nZeilen"])
def test_first_plan_reads_and_is_commented(name: str) -> None:
    text = starter_plan(name)
    plan = parse_plan(text)
    assert plan.vehicle.name == name
    assert set(plan.zone) == set(ZONES)
    assert len(plan.circuit) >= len(CIRCUITS)
    assert text.index("# Circuits:") < text.index("[circuit.")
    assert "\n\n\n" not in text


def test_unknown_definition_in_a_first_plan() -> None:
    with pytest.raises(EditError, match="no definition 'hron'"):
        starter_plan("x", ["hron"])


def keep(path: Path, text: str) -> Keeper:
    """What a session that is cut off leaves behind."""
    keeper = Keeper(path)
    keeper.keep(keeper.work(text, ()))
    keeper.close()
    return keeper


def test_recovery(tmp_path: Path) -> None:
    file = tmp_path / "car.toml"
    file.write_text("fuseplan = 1\n")
    os.utime(file, (1, 1))
    assert left_behind(file) == []
    keeper = keep(file, "fuseplan = 1\n# more\n")
    found, = left_behind(file)
    assert found.text == "fuseplan = 1\n# more\n"
    assert not found.overtaken
    assert keeper.file.is_relative_to(tmp_path / "state")
    assert keeper.file.stat().st_mode & 0o077 == 0
    link = tmp_path / "link.toml"
    link.symlink_to(file)
    assert [each.file for each in left_behind(link)] == [keeper.file]
    assert left_behind(tmp_path / "other.toml") == []
    os.utime(keeper.file, (2, 2))
    os.utime(file, (3, 3))
    assert [each.overtaken for each in left_behind(file)] == [True]
    file.unlink()
    assert [each.text for each in left_behind(file)] == ["fuseplan = 1\n# more\n"]
    discard(found)
    assert left_behind(file) == []
    discard(found)


def test_what_says_the_same_as_the_file_is_cleared_away(tmp_path: Path) -> None:
    file = tmp_path / "car.toml"
    file.write_text("fuseplan = 1\n")
    keeper = keep(file, "fuseplan = 1\n")
    assert left_behind(file) == []
    assert not keeper.file.exists()


def test_two_sessions_on_one_plan_do_not_overwrite_each_other(tmp_path: Path) -> None:
    file = tmp_path / "car.toml"
    file.write_text("fuseplan = 1\n")
    running = Keeper(file)
    running.keep(running.work("fuseplan = 1\n# one\n", ()))
    keep(file, "fuseplan = 1\n# two\n")
    assert [each.text for each in left_behind(file)] == ["fuseplan = 1\n# two\n"], "a running session's is its own"
    running.close()
    assert {each.text for each in left_behind(file)} == {"fuseplan = 1\n# one\n", "fuseplan = 1\n# two\n"}


def test_recovery_where_nothing_can_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(blocked))
    with pytest.raises(StoreError, match="cannot be made"):
        keep(tmp_path / "car.toml", "x")
    assert left_behind(tmp_path / "car.toml") == []


def test_the_lamps_of_a_second_pair_are_a_group_of_their_own() -> None:
    """Four lamps burn together: the second dip beam is no stand-in for the first, its main beam is one for it."""
    document = PlanDocument.from_text(starter_plan("Four lamps", ["dip_beam_left"]))

    def taken(name: str) -> set[str | None]:
        mapped = circuit_for(document.plan, name)
        for new, text in mapped.texts.items():
            document.insert_circuit(new, text)
        return {load.either for new in mapped.texts for load in document.plan.circuit[new].load}

    assert next(iter(document.plan.circuit.values())).load[0].either == "beam_left"
    assert taken("main_beams") == {"beam_left", "beam_right"}
    assert taken("dip_beam_left") == {"beam_left_2"}
    assert taken("main_beams") == {"beam_left_2", "beam_right_2"}
    assert taken("dip_beam_left") == {"beam_left_3"}
