"""Edits: only what is edited changes, and text and plan stay in step. tomllib of the standard library is the judge."""

from __future__ import annotations

import tomllib
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuseplan.errors import EditError, PlanError
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.plain import get, with_value, without
from fuseplan.planfile.read import parse_plan

PUMP = ("circuit", "fuel_pump")
Path = tuple[str | int, ...]


def in_step(document: PlanDocument) -> None:
    """The plan kept beside the text is the plan the text says, in the same order."""
    plan = parse_plan(document.text)
    assert plan == document.plan
    for kind in ("zone", "run", "feed", "earth", "circuit", "trip"):
        assert list(getattr(plan, kind)) == list(getattr(document.plan, kind))


def comments(text: str) -> list[str]:
    """The comments of a text without strings that hold a #."""
    return sorted(line[line.index("#") :] for line in text.splitlines() if "#" in line)


SCALARS: list[tuple[Path, object]] = [
    (("vehicle", "name"), 'A "new"\nname \\ ü'),
    (("zone", "engine_bay", "ambient"), "95 degC"),
    (("feed", "main_bus", "fuse", "rating"), "80 A"),
    ((*PUMP, "fuse", "position"), "F9"),
    ((*PUMP, "wire", 0, "size"), "AWG 10"),
    ((*PUMP, "wire", 0, "along", 1), "dash"),
    ((*PUMP, "wire", 1, "length"), "2 ft"),
    ((*PUMP, "load", 0, "current"), "7 A"),
    ((*PUMP, "must_run"), ["running"]),
    (("circuit", "dip beam", "fuse", "rating"), "7.5 A"),
    (("circuit", "dip beam", "load", 0, "power"), "60 W"),
    (("trip", "home", "leg", 0, "duration"), "6 s"),
]


@pytest.mark.parametrize(("path", "value"), SCALARS)
def test_a_changed_value_changes_one_line(plan_text: str, path: Path, value: object) -> None:
    document = PlanDocument.from_text(plan_text)
    document.set(path, value)
    before, after = plan_text.splitlines(), document.text.splitlines()
    assert len(before) == len(after)
    assert sum(old != new for old, new in zip(before, after, strict=True)) == 1
    assert comments(document.text) == comments(plan_text)
    assert tomllib.loads(document.text) == with_value(tomllib.loads(plan_text), path, value)
    in_step(document)


ADDED: list[tuple[Path, object, str]] = [
    ((*PUMP, "fuse", "rating"), "15 A", 'fuse = { kind = "mini", position = "F7", rating = "15 A" } # rating left out'),
    ((*PUMP, "switch"), {"rating": "10 A"}, 'switch = { rating = "10 A" }'),
    ((*PUMP, "note"), "checked", 'must_run = ["crank", "running"]\n# behind the last key\nnote = "checked"\n\n'),
    ((*PUMP, "wire", 1, "joint"), {"method": "crimp"}, 'zone = "cabin", joint = { method = "crimp" } },\n]'),
    ((*PUMP, "wire", 2), {"size": "1 mm2"}, '    { size = "1 mm2" },\n]\nearth'),
    ((*PUMP, "load", 1), {"name": "Two"},
     'when = ["engine"]\n\n[[circuit.fuel_pump.load]]\nname = "Two"\n\n[circuit."dip'),
    (("circuit", "dip beam", "fuse", "zone"), "cabin", 'fuse.rating = "10 A"\nfuse.zone = "cabin"\nwire'),
    (("circuit", "dip beam", "load", 1), {"name": "B"}, 'at = "12 V" }, { name = "B" }] # on one line'),
    (("zone", "boot"), {"ambient": "50 degC"}, '# measured in August\n[zone.boot]\nambient = "50 degC"\n\n[run.dash]'),
    (("zone", "boot", "ambient"), "50 degC", '[zone.boot]\nambient = "50 degC"\n\n[run.dash]'),
    (("alternator", "rated"), "90 A", '[battery]\ncapacity = "60 Ah"\n\n[alternator]\nrated = "90 A"\n\n[zone.cabin]'),
    (("fuse_box", "cabin"), {"feed": "main_bus", "position": {"F 1": {"largest": "30 A"}}},
     '[fuse_box.cabin]\nfeed = "main_bus"\n\n[fuse_box.cabin.position]\n"F 1" = { largest = "30 A" }\n'),
    (("condition", "tow"), {"state": "running"}, '\n\n[condition.tow]\nstate = "running"\n\n'),
    (("trip", "home", "leg", 1), {"condition": "crank", "duration": "2 s"},
     '\n\n[[trip.home.leg]]\ncondition = "crank"'),
    (("reading", 0), {"point": "pump", "value": "6 A"}, '\n\n[[reading]]\npoint = "pump"\nvalue = "6 A"\n'),
]


@pytest.mark.parametrize(("path", "value", "written"), ADDED)
def test_something_new_is_written_in_the_natural_place(plan_text: str, path: Path, value: object, written: str) -> None:
    document = PlanDocument.from_text(plan_text)
    document.set(path, value)
    assert written in document.text
    assert comments(document.text) == comments(plan_text)
    assert tomllib.loads(document.text) == with_value(tomllib.loads(plan_text), path, value)
    in_step(document)
    document.remove(path[:2] if path[0] == "zone" else path)
    in_step(document)
    assert comments(document.text) == comments(plan_text)


REMOVED: list[tuple[Path, list[str]]] = [
    (("battery",), ["# The battery, as its label says."]),
    (("run", "dash", "length"), []),
    ((*PUMP, "relay"), []),
    ((*PUMP, "relay", "driver"), []),
    ((*PUMP, "fuse", "position"), []),
    ((*PUMP, "wire", 1), ["# the donor's tail"]),
    ((*PUMP, "load", 0), ["# in line"]),
    (("circuit", "dip beam", "fuse", "rating"), []),
    (("circuit", "dip beam", "fuse"), ["# dotted"]),
    (("circuit", "dip beam"), ["# dotted", "# on one line"]),
    (PUMP, ["# The pump dies", "# rating left out", "# to the boot", "# the donor's tail", "# behind", "# in line"]),
    (("trip", "home"), []),
]


@pytest.mark.parametrize(("path", "may_go"), REMOVED)
def test_removing_takes_only_what_belongs_to_it(plan_text: str, path: Path, may_go: list[str]) -> None:
    document = PlanDocument.from_text(plan_text)
    document.remove(path)
    wanted = without(tomllib.loads(plan_text), path)
    if not get(wanted, path[:-1]):
        # A list of tables and a group of named parts are gone with their last member.
        wanted = without(wanted, path[:-1])
    assert tomllib.loads(document.text) == wanted
    gone = [said for said in comments(plan_text) if said not in comments(document.text)]
    assert all(any(said.startswith(words) for words in may_go) for said in gone)
    assert "\n\n\n" not in document.text
    in_step(document)


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (lambda d: d.set((*PUMP, "feed"), "nowhere"), "which is not a feed of this plan"),
        (lambda d: d.set((*PUMP, "load", 0, "current"), "6 V"), "a current is wanted, like"),
        (lambda d: d.set((*PUMP, "load", 5), {"name": "x"}), "is not there"),
        (lambda d: d.set((*PUMP, "load", 0, "current", "x"), 1), "is no table"),
        (lambda d: d.set((*PUMP, "fuze"), 1), "the nearest known, 'fuse', is there already"),
        (lambda d: d.set(("fuseplan",), 2), "accepted is 1"),
        (lambda d: d.set((*PUMP, "note"), object()), "cannot stand in a plan"),
        (lambda d: d.set((*PUMP, "note"), "\ud800"), "half a character"),
        (lambda d: d.set((0,), 1), "is not there"),
        (lambda d: d.set((*PUMP, "load", -1), {}), "is not there"),
        (lambda d: d.set((), 1), "path of a key"),
        (lambda d: d.remove(("zone", "cabin")), "names 'cabin', which is not a zone"),
        (lambda d: d.remove((*PUMP, "switch")), "is not there"),
        (lambda d: d.rename("feed", "nowhere", "x"), "there is no feed 'nowhere'"),
        (lambda d: d.rename("feed", "main_bus", "battery_post"), "there is a feed 'battery_post' already"),
        (lambda d: d.rename("wheel", "a", "b"), "cannot be renamed"),
        (lambda d: d.duplicate_circuit("fuel_pump", "dip beam"), "already"),
        (lambda d: d.duplicate_circuit("fuel_pump", ""), "is no name"),
        (lambda d: d.insert_circuit("x", {"feed": "none"}), "not a feed"),
        (lambda d: d.insert_circuit("x", {}, after="none"), "there is no circuit 'none'"),
        (lambda d: d.insert_circuit("x", "[circuit.a]\n[circuit.b]\n"), "exactly one"),
        (lambda d: d.move_circuit("none", None), "there is no circuit"),
    ],
)
def test_an_edit_that_breaks_the_plan_changes_nothing(
    plan_text: str, edit: Callable[[PlanDocument], object], words: str
) -> None:
    document = PlanDocument.from_text(plan_text)
    plan = document.plan
    with pytest.raises(EditError) as caught:
        edit(document)
    assert words in str(caught.value)
    assert document.text == plan_text
    assert document.plan is plan


def test_several_changes_are_judged_together(plan_text: str) -> None:
    document = PlanDocument.from_text(plan_text)
    load = (*PUMP, "load", 0)
    with pytest.raises(EditError):
        document.set((*load, "power"), "90 W")
    document.change([((*load, "current"), None), ((*load, "power"), "90 W"), ((*load, "at"), "13.5 V")])
    in_step(document)
    assert document.plan.circuit["fuel_pump"].load[0].power == 90


def test_tables_are_merged(plan_text: str) -> None:
    document = PlanDocument.from_text(plan_text)
    wires = tomllib.loads(plan_text)["circuit"]["fuel_pump"]["wire"]
    document.set((*PUMP, "wire"), [wires[0], {"size": "4 mm2", "length": "1 m"}, wires[1]])
    assert comments(document.text) == comments(plan_text)
    assert tomllib.loads(document.text)["circuit"]["fuel_pump"]["wire"][1]["size"] == "4 mm2"
    document.set((*PUMP, "wire"), wires)
    assert comments(document.text) == comments(plan_text)
    document.set((*PUMP,), {"name": "Pump", "feed": "main_bus"})
    assert tomllib.loads(document.text)["circuit"]["fuel_pump"] == {"name": "Pump", "feed": "main_bus"}
    in_step(document)


@pytest.mark.parametrize(
    ("kind", "old"),
    [("feed", "main_bus"), ("feed", "battery_post"), ("earth", "rear_stud"), ("zone", "cabin"), ("run", "sill"),
     ("circuit", "fuel_pump"), ("circuit", "dip beam"), ("trip", "home")],
)
@pytest.mark.parametrize("new", ["new", "new name.with dots"])
def test_references_follow_a_new_name(plan_text: str, kind: str, old: str, new: str) -> None:
    document = PlanDocument.from_text(plan_text)
    snapshot = document.rename(kind, old, new)
    assert old not in getattr(snapshot.plan, kind)
    assert new in getattr(snapshot.plan, kind)
    assert comments(document.text) == comments(plan_text)
    in_step(document)
    document.rename(kind, new, old)
    # Quotes that were not needed may go; nothing else differs from the text before.
    assert tomllib.loads(document.text) == tomllib.loads(plan_text)
    assert comments(document.text) == comments(plan_text)


def test_circuits_move_copy_and_come_from_text(plan_text: str) -> None:
    document = PlanDocument.from_text(plan_text)
    document.move_circuit("dip beam", "fuel_pump")
    assert list(document.plan.circuit) == ["dip beam", "fuel_pump"]
    assert comments(document.text) == comments(plan_text)
    in_step(document)
    document.move_circuit("dip beam", None)
    assert list(document.plan.circuit) == ["fuel_pump", "dip beam"]
    document.duplicate_circuit("fuel_pump", "pump two")
    assert list(document.plan.circuit) == ["fuel_pump", "pump two", "dip beam"]
    assert document.text.count("# the donor's tail") == 2
    taken = '# loud\n[circuit.x]\nfeed = "main_bus" # here\n[[circuit.x.load]]\n'
    document.insert_circuit("horn", taken, after="fuel_pump")
    assert list(document.plan.circuit) == ["fuel_pump", "horn", "pump two", "dip beam"]
    assert '\n\n# loud\n[circuit.horn]\nfeed = "main_bus" # here\n' in document.text
    in_step(document)


@pytest.mark.parametrize(
    "text",
    [
        'fuseplan = 1\ncircuit.x.name = "a" # c\nfeed.p = {}\n',
        'fuseplan = 1\ncircuit = { x = { name = "a" }, y = {} } # c\n[feed.p]\n',
        'fuseplan = 1\n[circuit]\nx.name = "a" # c\n[feed]\np = {}\n',
        'fuseplan = 1\n[[circuit.x.load]] # c\nname = "b"\n[circuit.x]\nname = "a"\n[feed]\n[feed.p]\n',
        'fuseplan = 1\n[ circuit . "x" ] # c\n name = """a\n[not.a.header]\n"""\n\t[[ circuit.x . load ]]\n[feed.p]\n',
        'fuseplan = 1\n[circuit.x]\nname = \'#\' # c\n[feed.p]\n[circuit.x.fuse]\nkind = "mini"\n',
    ],
)
def test_odd_layouts_are_edited_right_or_refused(text: str) -> None:
    """Whatever the layout, an edit either does just what it should or says that it cannot."""
    edits: list[Callable[[PlanDocument], object]] = [
        lambda d: d.set(("circuit", "x", "name"), "new"),
        lambda d: d.set(("circuit", "x", "feed"), "p"),
        lambda d: d.set(("circuit", "x", "load"), [{"name": "l"}, {"name": "m"}]),
        lambda d: d.set(("circuit", "x", "fuse"), {"kind": "maxi", "rating": "30 A"}),
        lambda d: d.set(("circuit", "z"), {"feed": "p"}),
        lambda d: d.set(("zone", "z"), {"ambient": "20 degC"}),
        lambda d: d.remove(("circuit", "x", "name")),
        lambda d: d.remove(("circuit", "x")),
        lambda d: d.rename("circuit", "x", "new x"),
        lambda d: d.rename("feed", "p", "q"),
        lambda d: d.duplicate_circuit("x", "copy"),
        lambda d: d.move_circuit("x", None),
    ]
    done = 0
    for edit in edits:
        document = PlanDocument.from_text(text)
        said = ""
        try:
            edit(document)
        except EditError as error:
            said = str(error)
        if said:
            assert "in the file" in said or "header of its own" in said
            assert document.text == text
        else:
            done += 1
            in_step(document)
    assert done >= 8


def test_undo_and_redo_are_a_list_of_snapshots(plan_text: str) -> None:
    document = PlanDocument.from_text(plan_text)
    first = document.snapshot()
    second = document.set((*PUMP, "load", 0, "current"), "7 A")
    third = document.remove(("circuit", "dip beam"))
    for snapshot in (second, first, third):
        document.restore(snapshot)
        in_step(document)
        assert document.text == snapshot.text
    document.restore(plan_text)
    assert document.plan == first.plan
    with pytest.raises(PlanError):
        document.restore("nonsense")
    assert document.text == plan_text


AMOUNTS = st.integers(1, 99)
EDITS = st.lists(
    st.one_of(
        st.tuples(st.just("current"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("segment"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("load"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("unload"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("copy"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("move"), st.integers(0, 5), st.integers(0, 5)),
        st.tuples(st.just("rename"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("drop"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("zone"), st.integers(0, 5), AMOUNTS),
        st.tuples(st.just("note"), st.integers(0, 5), st.text(max_size=20)),
        st.tuples(st.just("fuse"), st.integers(0, 5), AMOUNTS),
    ),
    max_size=8,
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(EDITS)
def test_any_row_of_edits_keeps_plan_and_text_in_step(plan_text: str, edits: list[tuple[str, int, int | str]]) -> None:
    document = PlanDocument.from_text(plan_text)
    for what, which, value in edits:
        circuits = list(document.plan.circuit)
        if not circuits:
            break
        name = circuits[which % len(circuits)]
        path: Path = ("circuit", name)
        loads = len(document.plan.circuit[name].load)
        expected = tomllib.loads(document.text)
        try:
            if what == "current" and loads:
                document.change([((*path, "load", 0, "current"), f"{value} A")])
                expected = with_value(expected, (*path, "load", 0, "current"), f"{value} A")
            elif what == "segment":
                count = len(document.plan.circuit[name].wire)
                document.set((*path, "wire", count), {"size": f"{value} mm2", "length": "1 m"})
                expected = with_value(expected, (*path, "wire", count), {"size": f"{value} mm2", "length": "1 m"})
            elif what == "load":
                document.set((*path, "load", loads), {"current": f"{value} mA", "either": "x"})
                expected = with_value(expected, (*path, "load", loads), {"current": f"{value} mA", "either": "x"})
            elif what == "unload" and loads:
                document.remove((*path, "load", loads - 1))
                expected = None
            elif what == "copy":
                document.duplicate_circuit(name, f"copy {value}")
                expected = None
            elif what == "move":
                document.move_circuit(name, circuits[int(value) % len(circuits)])
            elif what == "rename":
                document.rename("circuit", name, f"new {value}")
                expected = None
            elif what == "drop":
                document.remove(path)
                expected = None
            elif what == "zone":
                document.set(("zone", f"z{value}", "ambient"), f"{value} degC")
                expected = with_value(expected, ("zone", f"z{value}", "ambient"), f"{value} degC")
            elif what == "note":
                document.set((*path, "note"), value)
                expected = with_value(expected, (*path, "note"), value)
            elif what == "fuse":
                document.set((*path, "fuse", "rating"), f"{value} A")
                expected = with_value(expected, (*path, "fuse", "rating"), f"{value} A")
        except EditError:
            expected = tomllib.loads(document.text)
        if expected is not None:
            assert tomllib.loads(document.text) == expected
        in_step(document)
        assert "# The battery, as its label says." in document.text
        assert "# a comment that stands by itself" in document.text
