"""Every kind of bad input gets a sentence with its file and line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fuseplan.errors import PlanError
from fuseplan.planfile.files import LARGEST_BYTES
from fuseplan.planfile.locate import Layout
from fuseplan.planfile.read import MOST_PROBLEMS, parse_plan, read_plan


def problems(text: str) -> list[str]:
    with pytest.raises(PlanError) as caught:
        parse_plan(text, "car.toml")
    return [str(problem) for problem in caught.value.problems]


def test_good_plan_reads(plan_text: str) -> None:
    plan = parse_plan(plan_text)
    assert list(plan.circuit) == ["fuel_pump", "dip beam"]
    # 194 °F is 90 °C and 14 in is 0.3556 m by definition of both units.
    assert plan.zone["engine_bay"].ambient == pytest.approx(90)
    assert plan.circuit["fuel_pump"].wire[1].length == pytest.approx(0.3556)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ('fuse = { kind = "mini", p', 'fuze = { kind = "mini", p',
         ["unknown key 'fuze' in circuit 'fuel_pump'; the nearest known is 'fuse'"]),
        ("current =", "amps =",
         ["unknown key 'amps' in load 1 of circuit 'fuel_pump'", "known: note, current, power"]),
        ('driver = "ecu" }', 'driver = "ecu", coil_fed = "x" }',
         ["unknown key 'coil_fed' in relay of circuit 'fuel_pump'; the nearest known, 'coil_feed', is there already"]),
        ('to = "battery_negative"', 'form = "x"\nto = "battery_negative"',
         ["unknown key 'form' in earth point 'rear_stud'"]),
        ('name = "Tarvel 1300 coupe"', "name = 1300",
         ["vehicle: `name` is the number 1300; accepted is text in quotes"]),
        ('name = "Tarvel 1300 coupe"', "name = 1979-05-27", ["`name` is the date 1979-05-27; accepted is text"]),
        ('capacity = "60 Ah"', 'capacity = "60"',
         ["battery: `capacity` is wrong: '60' has no unit; accepted is '60 Ah'"]),
        ('capacity = "60 Ah"', "capacity = 60", ["'60' has no unit"]),
        ('capacity = "60 Ah"', 'capacity = "60 W"', ["'60 W'", "is a power; a charge is wanted, like '60 Ah'"]),
        ('capacity = "60 Ah"', 'state_of_charge = "full"', ["is the text 'full'; accepted is a number"]),
        ('capacity = "60 Ah"', "state_of_charge = 1.5", ["1.5 is out of range; accepted is 0 to 1"]),
        ('capacity = "60 Ah"', "state_of_charge = nan", ["nan is out of range; accepted is 0 to 1"]),
        ('size = "AWG 14"', 'size = "14"',
         ["wire segment 2 of circuit 'fuel_pump': `size` is wrong: '14' has no unit"]),
        ('when = ["engine"]', 'when = "engine"', ["`when` is the text 'engine'; accepted is a list in [ ]"]),
        ('when = ["engine"]', 'when = ["engin"]', ["lists the word 'engin'; the nearest known is 'engine'"]),
        ('when = ["engine"]', 'kind = "motr"', ["accepted is 'resistive', 'lamp'", "the nearest known is 'motor'"]),
        ('when = ["engine"]', 'inrush = "4"', ["`inrush` is the text '4'; accepted is a number"]),
        ('when = ["engine"]', 'essential = "yes"', ["`essential` is the text 'yes'; accepted is true or false"]),
        ('when = ["engine"]', 'power = "55 W"', ["has both `current` and `power`; accepted is one of the two"]),
        ('when = ["engine"]', 'range = ["9 A", "5 A"]', ["`range` goes from 9 A down to 5 A"]),
        ('when = ["engine"]', 'range = ["9 A"]', ["load 1 of circuit 'fuel_pump': `range 2` is missing"]),
        ('when = ["engine"]', 'range = ["1 A", "2 A", "3 A"]', ["`range` has 3 values; accepted are 2"]),
        ('must_run = ["crank", "running"]', 'must_run = ["runing"]',
         ["circuit 'fuel_pump': `must_run 1` is the text 'runing'", "the nearest known is 'running'"]),
        ('must_run = ["crank", "running"]', 'must_run = ["crank"]; must_stop = ["crank"]', ["this is not TOML"]),
        ('must_run = ["crank", "running"]', 'must_stop = ["off", "crank"]\nmust_run = ["crank"]',
         ["'crank' is in both `must_run` and `must_stop`"]),
        ('kind = "maxi", rating', "rating",
         ["fuse of feed 'main_bus': `kind` is missing", "fuse type by its trade word"]),
        ('contact = "mini_40"', 'contact = "mini_4O"',
         ["no relay contact 'mini_4O' is on file; the nearest known is 'mini_40'"]),
        ('size = "1.5 mm2"', 'insulation = "pvc_105"',
         ["no insulation 'pvc_105' is on file; the nearest known is 'pvc105'"]),
        ('rating = "60 A"', 'holder = "in_line"', ["no fuse holder 'in_line' is on file"]),
        ('earth = "rear_stud"', 'earth = "rear_stub"',
         ["not an earth point of this plan; the nearest known is 'rear_stud'"]),
        ('["dash", "sill"]', '["dash", "bridge"]',
         ["names 'bridge', which is not a run of this plan; known: dash, sill"]),
        ('along = ["dash", "sill"]', 'along = ["dash", "sill"], length = "3 m"', ["has both `along` and `length`"]),
        ('to = "bulkhead"\nlength = "2.1 m"', 'to = "door"\nlength = "2.1 m"', ["does not join run 'dash'"]),
        ("[feed.battery_post]", '[feed.second]\n[feed.battery_post]', ["two roots: feed 'battery_post'"]),
        ("[feed.battery_post]", '[feed.battery_post]\nfrom = "main_bus"\n#',
         ["no feed is the root", "round in a circle"]),
        ('condition = "crank"', 'condition = "cranking"', ["names 'cranking', which is not a condition"]),
        ("[trip.home]", "[tolerance]\nrumour = 0.9\n[trip.home]", ["tolerance: 'rumour' is not a known word"]),
        ("[trip.home]", '[zone.""]\nambient = "1 degC"\n[trip.home]', ["zone: the name '' has 0 characters"]),
        ("[trip.home]", "[fuse_box]\nx = 3\n[trip.home]",
         ["fuse_box: `x` is the number 3; accepted is a table of keys"]),
    ],
)
def test_one_mistake_is_named(plan_text: str, old: str, new: str, expected: list[str]) -> None:
    assert plan_text.count(old) >= 1
    text = plan_text.replace(old, new, 1)
    said = "\n".join(problems(text))
    for words in expected:
        assert words in said
    assert "pydantic" not in said
    assert "http" not in said


@pytest.mark.parametrize(
    ("right", "wrong", "line"),
    [
        ('kind = "mini", position', 'kind = "mega_mini", position', 44),
        ('"AWG 14"', '"AWG 99x"', 49),
        ('"sill"', '"sill", "cellar"', 47),
        ('current = "6.5 A"', 'current = "6.5"', 57),
        ('power = "55 W"', 'power = "55 Y"', 65),
        ('rating = "10 A"', 'rating = "10 W"', 63),
    ],
)
def test_line_of_a_mistake(plan_text: str, right: str, wrong: str, line: int) -> None:
    """Lines counted by hand in the text of conftest.py."""
    text = plan_text.replace(right, wrong)
    assert text.splitlines()[line - 1] != plan_text.splitlines()[line - 1]
    assert [said.split(":")[1] for said in problems(text)] == [str(line)]


def test_all_problems_come_together_in_order(plan_text: str) -> None:
    text = plan_text.replace("limits", "limitz").replace('"6.5 A"', '"6,5 A"').replace('"rear_stud"', '"stud"')
    lines = [int(said.split(":")[1]) for said in problems(text)]
    assert len(lines) >= 3
    assert lines == sorted(lines)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", 1, "the smallest plan is the one line `fuseplan = 1`"),
        ("# nothing\n\n", 1, "the smallest plan"),
        ("[vehicle]\n", 1, "the key `fuseplan`"),
        ("\n\nfuseplan = 2\nnonsense = 1\n", 3, "format 2 is newer"),
        ("fuseplan = 0\n", 1, "`fuseplan` is the number 0"),
        ("fuseplan = 1.0\n", 1, "the number 1.0"),
        ("fuseplan = true\n", 1, "`fuseplan` is true"),
        ('fuseplan = "1"\n', 1, "the text '1'"),
        ("fuseplan = 1\n\n[feed\n", 3, "not TOML"),
        ('fuseplan = 1\nx = "open\n', 2, "not TOML"),
        ("fuseplan = 1\nfuseplan = 1\n", 2, "not TOML"),
        ("fuseplan = 1\nx = [1,\n2,\n", 3, "not TOML"),
        ("fuseplan = 1\nx = " + "[" * 5000, 0, "too deep"),
        ("fuseplan = 1\nx = " + "9" * 5000 + "\n", 0, "not TOML"),
    ],
)
def test_text_that_is_no_plan(text: str, line: int, words: str) -> None:
    said = problems(text)
    assert len(said) == 1
    assert words in said[0]
    if line:
        assert said[0].startswith(f"car.toml:{line}: ")


def test_smallest_plan() -> None:
    assert parse_plan("fuseplan = 1").vehicle.limits == "road"


def test_control_characters_are_shown_not_sent() -> None:
    said = "\n".join(problems('fuseplan = 1\n"\\u001b[31m" = 1\n[vehicle]\nlimits = 3\n'))
    assert "\x1b" not in said
    assert "\\x1b[31m" in said


def refusal(path: Path) -> str:
    with pytest.raises(PlanError) as caught:
        read_plan(path)
    return str(caught.value)


def test_missing_folder_pipe_and_large(tmp_path: Path) -> None:
    assert "there is no such file" in refusal(tmp_path / "none.toml")
    assert "this is a folder" in refusal(tmp_path)
    assert "no such file" in refusal(Path("bad\nname"))
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert "no plain file" in refusal(pipe)
    large = tmp_path / "large.toml"
    with large.open("wb") as stream:
        stream.truncate(LARGEST_BYTES + 1)
    assert "too large" in refusal(large)


def test_binary_and_other_encodings(tmp_path: Path) -> None:
    file = tmp_path / "car.toml"
    file.write_bytes(b"fuseplan = 1\n\n# x\0\n")
    assert refusal(file).startswith(f"{file}:3: byte 18 is zero")
    file.write_bytes("fuseplan = 1\n# Kühler\n".encode("latin-1"))
    assert refusal(file).startswith(f"{file}:2: byte 17 (0xfc) is not UTF-8")
    file.write_bytes("fuseplan = 1\n".encode("utf-8-sig"))
    assert read_plan(file).fuseplan == 1


def test_no_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "car.toml"
    file.write_text("fuseplan = 1\n")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    assert "not allowed to read this file" in refusal(file)


def test_very_many_mistakes_are_counted_and_the_first_are_listed(plan_text: str) -> None:
    text = plan_text + "".join(f"[zone.z{number}]\nambient = 3\n" for number in range(1000))
    head, *found = problems(text)
    assert head == f"car.toml: 1000 entries with errors; {MOST_PROBLEMS} of them follow"
    first = plan_text.count("\n") + 2
    assert [int(said.split(":")[1]) for said in found] == list(range(first, first + 2 * MOST_PROBLEMS, 2))
    few = problems(plan_text + "".join(f"[zone.z{number}]\nambient = 3\n" for number in range(MOST_PROBLEMS)))
    assert len(few) == MOST_PROBLEMS


MASSES = {
    "unknown keys": (lambda n: "[vehicle]\n" + "".join(f"k{number} = 1\n" for number in range(n)),
                     "entries with errors"),
    "wrong values": (lambda n: f"[[circuit.a.load]]\nwhen = [{'1,' * n}]\n", "entries with errors"),
    "parts that are none": (lambda n: "[circuit]\n" + "".join(f"a{number} = 1\n" for number in range(n)),
                            "entries with errors"),
    "names of nothing": (lambda n: f"feed = {{{','.join(f'feed{number} = {{}}' for number in range(n // 9))}}}\n"
                         "[circuit]\n" + "".join(f"a{number} = {{feed = 'fed{number}'}}\n" for number in range(n // 3)),
                         "at least"),
    "keys of many parts": (lambda n: f"[a{'.a' * n}]\n", "a key of more than 40 parts"),
    "lists in lists": (lambda n: f"x = {'[' * n}\n", "too deep"),
    "tables in a list": (lambda n: "[[circuit.a.load]]\nx = 1\n" * (n // 3), "entries with errors"),
}


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize("mass", MASSES)
@pytest.mark.parametrize("many", [10_000, pytest.param(150_000, marks=pytest.mark.long)])
def test_work_and_memory_stay_bounded_whatever_the_file_holds(mass: str, many: int, tmp_path: Path) -> None:
    """In a process of its own, with so much processor time and memory and no more.

    What `resource` says of memory counts that of the process it was started from."""
    text, said = MASSES[mass]
    file = tmp_path / "car.toml"
    file.write_text("fuseplan = 1\n" + text(many), encoding="utf-8")
    assert file.stat().st_size < LARGEST_BYTES
    script = ("import resource, sys\nfrom fuseplan.errors import PlanError\n"
              "from fuseplan.planfile.read import read_plan\n"
              "resource.setrlimit(resource.RLIMIT_CPU, (20, 20))\n"
              "try:\n    read_plan(sys.argv[1])\nexcept PlanError as error:\n    print(error)\n"
              "status = open('/proc/self/status').read() if sys.platform == 'linux' else 'VmHWM: 0'\n"
              "print(status.partition('VmHWM:')[2].split()[0])\n")
    done = subprocess.run([sys.executable, "-c", script, file], capture_output=True, encoding="utf-8", timeout=300,
                          check=False)
    *lines, memory = done.stdout.splitlines()
    assert said in lines[0]
    assert len(lines) <= MOST_PROBLEMS + 1
    assert int(memory) < 500_000, "kilobytes"


def test_layout_counts_lines_like_the_text(plan_text: str) -> None:
    layout = Layout(plan_text)
    lines = plan_text.splitlines()
    assert lines[layout.line(("circuit", "fuel_pump", "wire", 1, "zone")) - 1].strip().startswith('{ size = "AWG 14"')
    assert lines[layout.line(("circuit", "dip beam", "fuse", "rating")) - 1] == 'fuse.rating = "10 A"'
    assert lines[layout.line(("circuit", "fuel_pump", "load", 0, "when", 0)) - 1] == 'when = ["engine"]'
    assert lines[layout.line(("trip", "home", "leg", 0, "nothing")) - 1] == "[[trip.home.leg]]"
