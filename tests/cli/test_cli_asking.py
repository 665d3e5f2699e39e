"""``fuseplan new`` on a terminal asks what is in the car."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import time
from collections.abc import Iterator

import pytest
from cli_processes import environment

from fuseplan.cli.asking import ask, ask_system, by_group, picked
from fuseplan.cli.commands.new import system_volts
from fuseplan.plan.definition import group_words
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import read_plan
from fuseplan.planfile.starter import CIRCUITS, SYSTEMS, starter_plan, usual_circuits


def test_numbers_words_usual_and_none():
    offered = by_group(definitions())["fuel"]
    ids = [each.id for each in offered]
    assert picked("", offered, CIRCUITS) == ["fuel_pump_in_line"]
    assert picked("-", offered, CIRCUITS) == []
    assert picked("2, 1", offered, CIRCUITS) == [ids[1], ids[0]]
    assert picked("in_line in_line", offered, CIRCUITS) == ["fuel_pump_in_line"]
    with pytest.raises(ValueError, match="accepted is 1 to"):
        picked("99", offered, CIRCUITS)
    with pytest.raises(ValueError, match="fits nothing"):
        picked("gearbox", offered, CIRCUITS)
    with pytest.raises(ValueError, match="fits 5"):
        picked("pump", offered, CIRCUITS)


def test_what_is_out_of_scope_is_not_offered():
    assert "airbag" not in [each.id for offered in by_group(definitions()).values() for each in offered]


def test_a_wrong_answer_is_asked_again_and_the_end_takes_the_usual():
    said: list[str] = []
    answers = iter(["nonsense", "1"])

    def hear(_: str) -> str:
        try:
            return next(answers)
        except StopIteration:
            raise EOFError from None

    first = next(iter(by_group(definitions()).values()))
    chosen = ask(definitions(), CIRCUITS, said.append, hear)
    assert chosen[0] == first[0].id
    assert set(chosen[1:]) == set(CIRCUITS) - {each.id for each in first}
    assert any("fits nothing" in each for each in said)
    groups = len(by_group(definitions()))
    assert sum(f"(1 of {groups})" in each for each in said) == 1, "one sees how many questions are to come"


def test_on_a_terminal(tmp_path):
    ours, theirs = pty.openpty()
    plan = tmp_path / "car.toml"
    running = subprocess.Popen([sys.executable, "-m", "fuseplan", "new", str(plan)], stdin=theirs, stdout=theirs,
                               stderr=theirs, env=environment(), close_fds=True)
    os.close(theirs)
    groups = len(by_group(definitions()))
    seen, asked, deadline = b"", 0, time.monotonic() + 60
    while running.poll() is None and time.monotonic() < deadline:
        try:
            seen += os.read(ours, 65536)
        except OSError:
            break
        while seen.count(b"  > ") > asked:
            asked += 1
            os.write(ours, b"\n")
    assert running.wait(timeout=30) == 0
    os.close(ours)
    assert asked == groups + 1, "the system voltage, then each group"
    assert {"fuel_pump", "ecu", "horn"} <= set(read_plan(plan).circuit)


def test_the_system_voltage_is_asked_until_the_answer_is_one():
    said: list[str] = []
    for answers, system in ((["32", "24 V"], "24"), (["6"], "6"), ([""], "12"), (["volts"], "12")):
        left = iter(answers)

        def hear(_: str, left: Iterator[str] = left) -> str:
            try:
                return next(left)
            except StopIteration:
                raise EOFError from None

        assert ask_system(system_volts, said.append, hear, 60) == system
    assert sum("'32' is no system voltage" in each for each in said) == 1
    assert all(len(line) <= 60 for each in said[1:2] for line in each.splitlines())


def test_parts_of_names_may_be_several_words_and_numbers_a_stretch():
    groups = by_group(definitions())
    offered = groups["start_charge"]
    assert picked("starter main, solenoid", offered, CIRCUITS) == ["starter_main", "starter_solenoid"]
    assert picked("main solenoid", offered, CIRCUITS) == ["starter_main", "starter_solenoid"]
    ids = [each.id for each in offered]
    assert picked("2-4", offered, CIRCUITS) == ids[1:4]
    assert picked("1 3", offered, CIRCUITS) == [ids[0], ids[2]]
    for wrong in ("3-9", "0", "4-2"):
        with pytest.raises(ValueError, match=f"{wrong} is not on the list; accepted is 1 to"):
            picked(wrong, offered, CIRCUITS)
    with pytest.raises(ValueError, match="Starter main cable; Starter solenoid"):
        picked("starter", offered, CIRCUITS)


def test_what_is_said_fits_a_narrow_terminal():
    said: list[str] = []
    answers = iter(["pump", *[""] * 20])
    ask({name: each for name, each in definitions().items() if each.group == "fuel"}, CIRCUITS, said.append,
        lambda _: next(answers), 60)
    assert "fits 5" in " ".join(said)
    assert all(len(line) <= 60 for text in (said[0], *(each for each in said if "fits" in each))
               for line in text.splitlines())


def test_the_groups_of_which_nothing_was_taken_are_named_at_the_end():
    said: list[str] = []
    ask(definitions(), CIRCUITS, said.append, lambda prompt: "", 400)
    chosen = {each.group for name, each in definitions().items() if name in CIRCUITS}
    left = [group_words(group) for group in by_group(definitions()) if group not in chosen]
    assert left
    assert all(group in said[-1] for group in left)
    assert "Nothing taken of" in said[-1]
    heard: list[str] = []
    ask(definitions(), list(definitions()), heard.append, lambda prompt: "", 400)
    assert "Nothing taken of" not in "".join(heard)


def test_back_returns_to_the_group_before_and_its_new_answer_replaces_the_old():
    groups = list(by_group(definitions()).values())
    said: list[str] = []
    answers = iter(["back", "-", "1", "<", "BACK", "1", "-", *["-"] * (len(groups) - 2)])
    chosen = ask(definitions(), CIRCUITS, said.append, lambda prompt: next(answers), 400)
    assert chosen == [groups[0][0].id]
    assert next(answers, None) is None
    assert sum(f"(1 of {len(groups)})" in each for each in said) == 2
    assert sum("first group" in each for each in said) == 1, "before the first group there is none"
    assert "back or <" in said[0]


def test_back_is_never_taken_for_a_circuit_it_may_name_nor_a_circuit_for_back():
    """Where a circuit goes by the word, both are said and neither is done; < returns from every group."""
    groups = list(by_group(definitions()).values())
    for at, offered in enumerate(groups[1:], 1):
        named = [each for each in offered if any("back" in words.lower() for words in (each.title, *each.also))]
        said: list[str] = []
        answers = iter(["-"] * at + ["back", "<" if named else "-", *["-"] * len(groups)])
        assert ask(definitions(), CIRCUITS, said.append, lambda prompt, left=answers: next(left), 400) == []
        assert sum(f"({at} of {len(groups)})" in each for each in said) == 2, offered[0].group
        told = [each for each in said if "'back' is also" in each]
        assert len(told) == bool(named)
        assert all(each.title in told[0] for each in named)


def test_after_going_back_the_end_of_the_input_keeps_the_answers_given():
    groups = list(by_group(definitions()).values())
    answers = iter(["-", "-", "<", "<"])

    def hear(_: str) -> str:
        try:
            return next(answers)
        except StopIteration:
            raise EOFError from None

    left_out = {each.id for group in groups[:2] for each in group}
    assert set(ask(definitions(), CIRCUITS, lambda text: None, hear)) == set(CIRCUITS) - left_out


def test_what_every_road_car_has_is_taken_by_enter():
    """Common practice, no source: without one of these a car is not fit for the road, or hardly any is built so."""
    roles = {circuit.get("role") for name in CIRCUITS for circuit in definitions()[name].circuits.values()}
    assert {"dip_beam_left", "dip_beam_right", "main_beams"} <= set(CIRCUITS)
    assert {"side_lamps", "stop_lamps", "indicators", "hazard_lamps", "horn", "wipers",
            "washers", "instruments"} <= roles
    for group in ("start_charge", "lighting", "wipers", "body", "instruments"):
        assert picked("", by_group(definitions())[group], CIRCUITS), group


def test_a_car_of_6_v_has_no_injection_unless_it_is_taken():
    """Common practice, no source: 6 V systems ended before electronic injection."""
    of_injection, known = {"engine_control_unit", "injection", "fuel_pump"}, definitions()
    for system in SYSTEMS:
        usual = usual_circuits(system)
        assert set(usual) <= set(known)
        roles = {circuit.get("role") for name in usual for circuit in known[name].circuits.values()}
        assert bool(roles & of_injection) is (system != "6")
        assert {"side_lamps", "stop_lamps", "starter"} <= roles
        assert "ignition" in roles or system != "6"
    assert starter_plan("car", system="6") == starter_plan("car", usual_circuits("6"), "6")


def test_the_groups_that_hold_what_is_not_offered_here_are_told_apart():
    groups = by_group(definitions())
    with pytest.raises(ValueError, match="is in the groups 'engine', 'fuel' and 'instruments'"):
        picked("fuel", groups["wipers"], CIRCUITS, groups)
