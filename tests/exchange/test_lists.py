"""Lists of loads, wires and pins: what is written is read back the same, and what is wrong is named by its cell."""

from __future__ import annotations

import copy
import io
import json
import tomllib
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from fuseplan.advice.plan_comparison import compare_plans
from fuseplan.checks.assessment import assess
from fuseplan.cli.main import main
from fuseplan.errors import PlanError
from fuseplan.exchange.lists import LISTS, LOADS, PINS, WIRES, PlanList, heading, kind_at, rooted
from fuseplan.exchange.mapping import Column, ColumnMap, kind_of_list, mapping_text, proposed, read_mapping
from fuseplan.exchange.table_files import Table, read_table
from fuseplan.exchange.taken import Taken
from fuseplan.exchange.taking import take
from fuseplan.exchange.writing_lists import csv_list, list_of, workbook
from fuseplan.plan.looms import Extension, Pin
from fuseplan.plan.nets import wires_of
from fuseplan.plan.parts import End, Joint, Segment
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import plan_of, read_plan
from tests.lazily import Lazily

openpyxl = Lazily("openpyxl")

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
PIN_PLAN = """
fuseplan = 1
[loom.donor]
kind = "donor"
[connector.plug_a]
name = "Engine plug, left"
loom = "donor"
[connector.plug_a.pin.1]
function = "Coolant temperature, return"
signal = "sensor_return"
size = "0.5 mm2"
colour = "BNBK"
known = "measured"
fate = "keep"
other_end = { connector = "plug_a", pin = "2" }
number = "W 12"
insulation = "xlpe125"
[connector.plug_a.pin.2]
function = "=HYPERLINK(\\"x\\")"
fate = "join"
join_to = { connector = "sender on the block" }
"""


def written(tmp_path: Path, name: str, data: str | bytes) -> Path:
    file = tmp_path / name
    file.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    return file


def taken(data: dict[str, Any], table: Table, which: PlanList | None = None, replaces: bool = False,
          **fixed: str) -> Taken:
    mapping = proposed(table, which or kind_of_list(table))
    return take(data, table, ColumnMap(mapping.which, mapping.columns, fixed), replaces)


def applied(path: Path, found: Taken) -> PlanDocument:
    document = PlanDocument.open(path)
    document.change(found.changes)
    return document


@pytest.mark.one_in(4)
@pytest.mark.parametrize("form", ["csv", "xlsx"])
@pytest.mark.parametrize("which", [LOADS, WIRES], ids=lambda which: which.name)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_list_written_and_read_again_changes_nothing(path: Path, which: PlanList, form: str, tmp_path: Path) -> None:
    plan = read_plan(path)
    text: str | bytes = csv_list(plan, which) if form == "csv" else workbook(plan, [which])
    table = read_table(written(tmp_path, f"list.{form}", text))
    assert kind_of_list(table) is which
    found = taken(tomllib.loads(path.read_text(encoding="utf-8")), table, replaces=True)
    assert found.problems == ()
    assert len(found.changes) > 5
    document = applied(path, found)
    assert document.text == PlanDocument.open(path).text, "no spelling is touched either"


def without_wires(data: dict[str, Any]) -> dict[str, Any]:
    """The plain data of a plan with no wire of feeds, earth points, circuits, loads, relay coils, looms, alternator."""
    bare = copy.deepcopy(data)
    for (owner, name), place, _ in wires_of(plan_of(data, "", "plan")):
        at: Any = bare[owner] if owner == "alternator" else bare[owner][name]
        *steps, last = place.split(".")
        for step in steps:
            at = at[int(step)] if step.isdigit() else at.get(step, {})
        at.pop(last, None)
    return bare


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_list_of_wires_has_all_wires_and_gives_the_same_plan_again(path: Path, tmp_path: Path) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    before = plan_of(data, "", "plan")
    rows = list_of(before, WIRES)[1]
    assert len(rows) == sum(len(wire) for _, _, wire in wires_of(before)) > 5
    bare = without_wires(data)
    for form, text in (("csv", csv_list(before, WIRES)), ("xlsx", workbook(before, [WIRES]))):
        found = taken(bare, read_table(written(tmp_path, f"list.{form}", text)), WIRES)
        assert found.problems == (), "no wire is in the way, so nothing need be replaced"
        again = copy.deepcopy(bare)
        for change, value in found.changes:
            again[change[0]][change[1]] = value
        assert plan_of(again, "", "plan") == before


OF_WIRES = """
fuseplan = 1
[feed.root]
[feed.box]
from = "root"
wire = [{ size = "10 mm2", length = "1 m" }]
[earth.body]
[circuit.fan]
feed = "box"
earth = "body"
wire = [{ size = "2.5 mm2", length = "2 m" }]
load = [{ name = "Motor" }, { name = "Other" }]
[circuit.fan.relay]
contact = "mini_40"
coil_feed = "box"
wire_86 = [{ size = "0.5 mm2", length = "1 m" }, { size = "0.5 mm2", length = "2 m" }]
[circuit.lamp]
feed = "box"
"""


@pytest.mark.parametrize(("row", "column", "words"), [
    ("fan,,coil 87,1 m", "which wire", "known: supply, earth, coil 86, coil 85, load 1"),
    ("fan,,load 3,1 m", "which wire", "has 2 loads"),
    ("lamp,,load 1,1 m", "which wire", "has 0 loads"),
    ("lamp,circuit,coil 86,1 m", "which wire", "has no relay"),
    ("box,feed,earth,1 m", "which wire", "no wire of feed 'box'"),
    ("nowhere,feed,,1 m", "circuit", "there is no feed nowhere"),
    (",alternator,,1 m", "wire of", "there is no alternator"),
    ("fan,relay,,1 m", "wire of", "nothing that wires are of"),
    ("fan,,coil 86,1 m", "circuit", "in the plan already"),
    ("fan,,coil 85,long", "length", "long"),
])
def test_a_row_for_a_wire_that_cannot_be_is_named_by_its_cell(row: str, column: str, words: str,
                                                              tmp_path: Path) -> None:
    found = taken(tomllib.loads(OF_WIRES), rows(f"circuit,wire of,which wire,length\n{row}\n", tmp_path), WIRES)
    assert [each.where for each in found.problems] == [f"row 2, column '{column}'"]
    assert words in found.problems[0].message
    assert found.changes == ()


def test_each_wire_is_whole_by_itself(tmp_path: Path) -> None:
    """Rows of one wire of a circuit say nothing of its others; a wire that has more lengths in the plan is refused."""
    data = tomllib.loads(OF_WIRES)
    new = taken(data, rows("circuit,which wire,length\nfan,coil 85,3 m\nfan,earth of load 2,1 m\n", tmp_path), WIRES)
    (path, after), = new.changes
    assert path == ("circuit", "fan")
    assert isinstance(after, dict)
    assert after["relay"]["wire_85"] == [{"length": "3 m"}]
    assert after["load"] == [{"name": "Motor"}, {"name": "Other", "earth_wire": [{"length": "1 m"}]}]
    assert {**after, "relay": {**after["relay"], "wire_85": None}, "load": data["circuit"]["fan"]["load"]} == {
        **data["circuit"]["fan"], "relay": {**data["circuit"]["fan"]["relay"], "wire_85": None}}
    short = taken(data, rows("circuit,which wire,length\nfan,coil 86,3 m\n", tmp_path), WIRES, replaces=True)
    assert "1 of the 2 parts" in short.problems[0].message


@pytest.mark.parametrize("before", [(), ("2",), ("2", "3")])
def test_all_columns_of_one_joint_say_one_joint(before: tuple[str, ...], tmp_path: Path) -> None:
    """Also of one that others are left out before; of which there are none it is the next."""
    heads = ",".join(f"joint {number},joint {number} place" for number in (*before, "4"))
    cells = ",".join(f"solder,{number} cm" for number in (*before, "4"))
    text = f"circuit,length,{heads}\n" + 2 * f"lamp,1 m,{cells}\n"
    new = taken(tomllib.loads(OF_WIRES), rows(text, tmp_path), WIRES)
    (_, after), = new.changes
    assert isinstance(after, dict)
    assert [wire["splice"] for wire in after["wire"]] == 2 * [[
        {"method": "solder", "place": f"{number} cm"} for number in (*before, "4")]]


def test_every_key_of_a_wire_and_of_a_pin_has_a_column() -> None:
    """What a list has no column for would be lost between two plans."""
    def keys(model: type[BaseModel], before: tuple[str, ...] = ()) -> set[tuple[str, ...]]:
        return {(*before, info.alias or name) for name, info in model.model_fields.items()}

    nested = {"start": End, "end": End, "joint": Joint}
    wanted = {path for path in keys(Segment) if path[0] not in (*nested, "splice")}
    wanted |= {each for key, model in nested.items() for each in keys(model, (key,))}
    wanted |= {("splice", *each) for each in keys(Joint, ("0",))}
    assert wanted <= {tuple(map(str, column.path[2:])) for column in WIRES.columns}
    wanted = {path for path in keys(Pin) if path[0] != "extension"} | keys(Extension, ("extension",))
    assert wanted <= {tuple(map(str, column.path)) for column in PINS.columns}


def test_pins_are_read_back_and_formulas_stay_text(tmp_path: Path) -> None:
    data = tomllib.loads(PIN_PLAN)
    plan = plan_of(data, "", "plan")
    for form in ("csv", "xlsx"):
        text: str | bytes = csv_list(plan, PINS) if form == "csv" else workbook(plan, [PINS])
        table = read_table(written(tmp_path, f"pins.{form}", text))
        found = taken({"fuseplan": 1, "loom": data["loom"]}, table)
        assert found.problems == ()
        pins = dict(found.changes)["connector", "plug_a"]["pin"]  # type: ignore[index]
        assert pins == data["connector"]["plug_a"]["pin"]


def test_an_end_of_a_wire_names_its_pin_or_is_asked_about(tmp_path: Path) -> None:
    data = tomllib.loads(PIN_PLAN)

    def read(cell: str) -> Taken:
        return taken(data, read_table(written(tmp_path, "pins.csv", f"connector,pin,other end\nplug_b,1,{cell}\n")))

    def end_of(cell: str) -> object:
        changes: dict[Any, Any] = dict(read(cell).changes)
        return changes["connector", "plug_b"]["pin"]["1"]["other_end"]

    assert end_of("plug_a pin 2") == {"connector": "plug_a", "pin": "2"}
    assert end_of('"Engine plug, left pin 2"') == {"connector": "plug_a", "pin": "2"}
    assert end_of("sender on the block") == {"connector": "sender on the block"}
    assert end_of("? pin 2") == {"pin": "2"}
    problem, = read("plug_a 2").problems
    assert "accepted is 'plug_a pin 2'" in str(problem)


@pytest.mark.parametrize("end", [
    {"connector": "plug_a", "pin": "1"}, {"connector": "starter relay", "pin": "87"}, {"connector": "relay pin 87"},
    {"connector": "sender"}, {"pin": "7"}])
def test_an_end_of_a_wire_written_and_read_again_changes_nothing(end: dict[str, str], tmp_path: Path) -> None:
    data = tomllib.loads(PIN_PLAN)
    data["connector"]["plug_a"]["pin"]["1"]["other_end"] = end
    file = written(tmp_path, "pins.csv", csv_list(plan_of(data, "", "plan"), PINS))
    found = taken(data, read_table(file), replaces=True)
    assert found.problems == ()
    assert dict(found.changes)["connector", "plug_a"] == data["connector"]["plug_a"]


def test_joints_that_no_column_has_are_said_where_one_exports(tmp_path: Path,
                                                              capsys: pytest.CaptureFixture[str]) -> None:
    for count in (3, 4):
        joints = ", ".join(f'{{ method = "crimp {number}" }}' for number in range(count))
        plan = written(tmp_path, f"car_{count}.toml", OF_WIRES.replace(
            '{ size = "2.5 mm2", length = "2 m" }',
            f'{{ size = "2.5 mm2", length = "2 m", joint = {{ method = "solder" }}, splice = [{joints}] }}'))
        assert main(["export", str(plan), "--list", "wires", "--out", str(tmp_path)]) == 0
        assert ("1 of the plan's lengths" in capsys.readouterr().err) == (count == 4)
        assert "crimp 2" in (tmp_path / f"car_{count}-wires.csv").read_text(encoding="utf-8")


def test_every_column_names_a_key_of_the_plan_and_is_found_by_its_heading() -> None:
    for which in LISTS.values():
        names = [name for column in which.all_columns for name in (column.key, *column.others)]
        assert len(names) == len(set(names)), "a heading means one thing"
        for column in which.columns:
            assert kind_at(rooted(which, column))
        table = Table("f", "", tuple(heading(which, column) for column in which.all_columns), (), (), (), False)
        assert set(proposed(table, which).columns) == {column.key for column in which.all_columns}
        assert kind_of_list(table) is which


CELLS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Zl", "Zp")), max_size=12).filter(
    str.isprintable).map(str.strip)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(CELLS, CELLS), min_size=1, max_size=5))
@example([("'=", "''=1"), ("'-5", "'x")])
def test_any_text_survives_writing_and_reading(tmp_path_factory: pytest.TempPathFactory,
                                               texts: list[tuple[str, str]]) -> None:
    """Names of loads and their sources, whatever is in them, also what a spreadsheet would run."""
    loads = [{"name": name or "x", "source": source or "y"} for name, source in texts]
    plan = plan_of({"fuseplan": 1, "circuit": {"one": {"load": loads}}}, "", "plan")
    folder = tmp_path_factory.mktemp("lists")
    for form in ("csv", "xlsx"):
        text: str | bytes = csv_list(plan, LOADS) if form == "csv" else workbook(plan, [LOADS])
        found = taken({"fuseplan": 1}, read_table(written(folder, f"list.{form}", text)))
        assert found.problems == ()
        assert dict(found.changes)["circuit", "one"]["load"] == loads  # type: ignore[index]


def rows(text: str, tmp_path: Path, name: str = "list.csv") -> Table:
    return read_table(written(tmp_path, name, text))


@pytest.mark.parametrize(("text", "where", "words"), [
    ("circuit,current\na,6.5\n", "row 2, column 'current'", "without a unit"),
    ("circuit,current [A]\na,lots\n", "row 2, column 'current [A]'", "lots"),
    ("circuit,current [A]\n,5\n", "row 2, column 'circuit'", "empty"),
    ("circuit,power [W]\na,55\n", "row 2, column 'power [W]'", "voltage"),
    ("circuit,current [A],at [V]\na,\"6,5\",13.5\n", "row 2, column 'current [A]'", "comma"),
    ("circuit,load type\na,heavy\n", "row 2, column 'load type'", "heavy"),
    ("circuit,feed\na,nowhere\n", "row 2, column 'feed'", "nowhere"),
    ("circuit,feed,load\na,root,x\na,other,y\n", "row 3, column 'feed'", "contradicts row 2"),
    ("circuit,size\na,1.5\n", "row 2, column 'size'", "gauge"),
    ("circuit,size [mm2]\na,thick\n", "row 2, column 'size [mm2]'", "thick"),
    ("circuit,duty\na,often\n", "row 2, column 'duty'", "no number"),
    ("circuit,current [A]\na,999999\n", "row 2, column 'current [A]'", "999999"),
])
def test_what_is_wrong_is_named_by_row_and_column(text: str, where: str, words: str, tmp_path: Path) -> None:
    table = rows(text, tmp_path)
    data = {"fuseplan": 1, "feed": {"root": {}, "other": {"from": "root"}}}
    found = taken(data, table, WIRES if "size" in text else LOADS)
    assert [each.where for each in found.problems] == [where]
    assert words in found.problems[0].message
    assert found.changes == ()


@pytest.mark.parametrize(("text", "which"), [("connector,pin,size\n", PINS), ("circuit,zone,current\n", LOADS)])
def test_a_heading_without_a_unit_is_told_once_and_what_cannot_be_read_row_by_row(
        text: str, which: PlanList, tmp_path: Path) -> None:
    values = ("0.5", "thick", "1.5", "2.5", "thin")
    cells = "".join(f"x{number if which is LOADS else ''},{number},{each}\n" for number, each in enumerate(values))
    found = take({"fuseplan": 1}, rows(text + cells, tmp_path), proposed(rows(text + cells, tmp_path), which))
    assert [each.where.split(",")[0] for each in found.problems] == ["row 2", "row 3", "row 6"]
    assert found.problems[0].message.endswith("; the same in 2 more rows")
    assert "more row" not in "".join(each.message for each in found.problems[1:])


def test_a_terminal_number_in_the_signal_column_is_the_one_kind_of_that_number(tmp_path: Path) -> None:
    """30, 15, 31: terminals of DIN 72552, which the kinds of signal are named by."""
    table = rows("connector,pin,signal\nx,1,30\nx,2,15\nx,3,31\nx,4,pulse\n", tmp_path)
    found = take({"fuseplan": 1}, table, proposed(table, PINS))
    assert found.problems == ()
    assert [said["signal"] for _, said in found.rows] == ["supply_30", "supply_15", "earth_31", "pulse"]
    other = rows("connector,pin,signal\nx,1,30\nx,2,16\n", tmp_path)
    assert len(take({"fuseplan": 1}, other, proposed(other, PINS)).problems) == 1


@pytest.mark.parametrize(("text", "current", "at"), [
    ("Circuit;Strom [A];V\nPump;6,5;13,5\n", "6.5 A", "13.5 V"),
    ("Circuit,Amps,Volts\nPump,6.5,13.5\n", "6.5 Amps", "13.5 Volts"),
    ("Circuit\tCurrent (mA)\tat [V]\nPump\t350\t13.5\n", "350 mA", "13.5 V"),
    ("Circuit,Current,at\nPump,6.5 A,13.5 V\n", "6.5 A", "13.5 V"),
])
def test_separators_commas_and_units_of_headings(text: str, current: str, at: str, tmp_path: Path) -> None:
    table = rows(text, tmp_path)
    mapping = proposed(table, LOADS)
    extra = {"current": Column("Strom [A]", "A"), "at": Column("V", "V")} if "Strom" in text else {}
    found = take({"fuseplan": 1}, table, ColumnMap(LOADS, {**mapping.columns, **extra}))
    assert found.problems == ()
    assert found.changes == ((("circuit", "pump"), {"name": "Pump", "load": [{"current": current, "at": at}]}),)


def test_encodings_are_found_and_said(tmp_path: Path) -> None:
    text = "circuit,name\na,Zündung\n"
    for encoding, said in (("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("cp1252", "Windows")):
        table = read_table(written(tmp_path, "list.csv", text.encode(encoding)))
        assert table.rows == (("a", "Zündung"),)
        assert said in table.notes[0]


def test_a_name_of_the_plan_is_its_id_and_a_new_name_makes_one(tmp_path: Path) -> None:
    data = {"fuseplan": 1, "feed": {"root": {"name": "Battery post"}}, "circuit": {"fan": {"name": "Radiator fan"}}}
    found = taken(data, rows("circuit,feed,load\nRadiator fan,battery post,Motor\nDip beam (left),root,H7\n",
                             tmp_path), LOADS, replaces=True)
    assert dict(found.changes) == {
        ("circuit", "fan"): {"name": "Radiator fan", "feed": "root", "load": [{"name": "Motor"}]},
        ("circuit", "dip_beam_left"): {"name": "Dip beam (left)", "feed": "root", "load": [{"name": "H7"}]},
    }


def test_nothing_of_the_plan_is_dropped_in_silence(tmp_path: Path) -> None:
    data = {"fuseplan": 1, "circuit": {"a": {"wire": [{"size": "1 mm2", "joint": {"method": "crimp"}},
                                                      {"size": "2 mm2"}]}}}
    table = rows("circuit,size\na,1.5 mm2\n", tmp_path)
    assert "already" in taken(data, table).problems[0].message
    assert "1 of the 2 parts" in taken(data, table, replaces=True).problems[0].message
    whole = taken(data, rows("circuit,size\na,1.5 mm2\na,2 mm2\n", tmp_path), replaces=True)
    assert whole.changes == ((("circuit", "a"), {"wire": [{"size": "1.5 mm2", "joint": {"method": "crimp"}},
                                                          {"size": "2 mm2"}]}),)


@pytest.mark.parametrize(("text", "where"), [
    ("circuit,load,current\nFan (left),Fan,5 A\nFan left,Fan,6 A\n", "row 3, column 'circuit'"),
    ("circuit,load,current\n#,Fan,5 A\n+,Fan,6 A\n", "row 3, column 'circuit'"),
])
def test_two_names_never_become_one_circuit(text: str, where: str, tmp_path: Path) -> None:
    found = taken({"fuseplan": 1}, rows(text, tmp_path))
    assert [each.where for each in found.problems] == [where]
    assert "would both be circuit" in found.problems[0].message


def test_a_circuit_may_be_named_by_its_id_and_by_what_it_is_called(tmp_path: Path) -> None:
    found = taken({"fuseplan": 1}, rows("circuit,load,current\nFan (left),Fan,5 A\nfan_left,Fan 2,6 A\n", tmp_path))
    assert [path for path, _ in found.changes] == [("circuit", "fan_left")]


def test_rows_in_another_order_are_not_mixed_into_other_parts(tmp_path: Path) -> None:
    """What the list does not say stays with its load: an inrush multiple does not move to the load sorted before it."""
    data = {"fuseplan": 1, "circuit": {"a": {
        "load": [{"name": "Pump", "current": "6 A", "inrush": 4}, {"name": "Lamp", "current": "1 A"}],
        "wire": [{"number": "W1", "size": "1 mm2", "cover": "conduit"}, {"number": "W2", "size": "2 mm2"}]}}}
    for text, which in (("circuit,load,current\na,{},7 A\na,{},2 A\n", LOADS),
                        ("circuit,number,size\na,{},3 mm2\na,{},4 mm2\n", WIRES)):
        names = ("Pump", "Lamp") if which is LOADS else ("W1", "W2")
        assert taken(data, rows(text.format(*names), tmp_path), which, replaces=True).problems == ()
        turned = taken(data, rows(text.format(*reversed(names)), tmp_path), which, replaces=True)
        assert [each.where.split(",")[0] for each in turned.problems] == ["row 2", "row 3"]
        assert turned.changes == ()


@pytest.mark.parametrize(("cell", "others", "power"), [
    ("1,500", "", None), ("1,500 W", "", None), ("-1,500", "", None), ("1,500", "a;6.5\n", None),
    ("1,500", "a;6,5\n", "1.500 W"), ("0,500", "", "0.500 W"), ("12,50", "", "12.50 W"),
])
def test_a_comma_that_may_part_thousands_is_not_read_as_a_point(cell: str, others: str, power: str | None,
                                                                tmp_path: Path) -> None:
    """1,500 W read as 1.5 W would leave a load of a thousand times the current."""
    found = taken({"fuseplan": 1}, rows(f"circuit;power [W]\na;{cell}\n{others}", tmp_path), at="13 V")
    if power is None:
        assert "1500" in found.problems[0].message
        assert found.changes == ()
    else:
        assert dict(found.changes)["circuit", "a"]["load"][0]["power"] == power
    fixed = taken({"fuseplan": 1}, rows("circuit;load\na;x\n", tmp_path), power=cell + " W" * ("W" not in cell),
                  at="13 V")
    assert bool(fixed.problems) == ("500" in cell and cell[0] != "0")


def archive(**members: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for name, data in members.items():
            file.writestr(name, data)
    return out.getvalue()


def large_sheet() -> bytes:
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet()
    for number in range(6_000):
        sheet.append([number])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


BOMB = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><x>&b;</x>'


@pytest.mark.parametrize(("data", "words"), [
    (b"", "nothing in it"),
    (b"circuit,load\n\x00\x01", "no text"),
    (b"circuit,circuit\na,b\n", "headed"),
    (b"circuit,load\na,b,c\n", "more cells"),
    (b'circuit,load\na,"b\n', "no CSV"),
    (b"circuit\n" + b"a\n" * 6_000, "rows"),
    (b",".join(b"h%d" % number for number in range(500)) + b"\n", "columns"),
    (b"circuit\n" + b"a" * 5_000 + b"\n", "characters"),
    (b"x" * 3_000_000, "too large"),
    (b"PK\x03\x04 damaged", "damaged"),
    (archive(**{"word/document.xml": b"<x/>"}), "no workbook"),
    (archive(**{"[Content_Types].xml": BOMB}), "document type"),
    (archive(**{"[Content_Types].xml": b"<Types/>"}), "cannot be read"),
    (lambda: archive(**{"[Content_Types].xml": b"<Types/>", "big.bin": b"\0" * 60_000_000}), "unpacks"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "XLS"),
    (large_sheet, "rows"),
], ids=lambda value: value if isinstance(value, str) else "")
def test_hostile_files_are_refused_with_a_sentence(data: bytes | Callable[[], bytes], words: str,
                                                   tmp_path: Path) -> None:
    file = written(tmp_path, "list.any", data() if callable(data) else data)
    with pytest.raises(PlanError, match=words):
        read_table(file)


def test_a_formula_without_a_stored_value_is_said(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["circuit", "current [A]"])
    sheet.append(["a", "=2*3"])
    book.save(tmp_path / "list.xlsx")
    table = read_table(tmp_path / "list.xlsx")
    assert table.rows == (("a", ""),)
    assert any("B2" in note for note in table.notes)


def test_a_column_without_a_heading_is_said(tmp_path: Path) -> None:
    assert any("column 2" in note for note in rows("circuit,,load\na,5 A,x\n", tmp_path).notes)
    assert not any("column 2" in note for note in rows("circuit,,load\na,,x\n", tmp_path).notes)


def test_a_mapping_is_remembered_as_it_was(tmp_path: Path) -> None:
    mapping = ColumnMap(LOADS, {"circuit": Column('He said "x"'), "current": Column("Strom", "A")}, {"at": "13.5 V"})
    assert read_mapping(written(tmp_path, "m.toml", mapping_text(mapping))) == mapping
    for text, words in (("list = 1", "list"), ('list = "loads"\n[column]\ncurent = 1', "curent"),
                        ('list = "loads"\n[column]\ncurrent = { heading = "I", unit = "mm" }', "mm"), ("=", "TOML")):
        with pytest.raises(PlanError, match=words):
            read_mapping(written(tmp_path, "m.toml", text))


def test_the_commands_show_first_and_write_when_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = written(tmp_path, "car.toml", EXAMPLES[0].read_text(encoding="utf-8") + "\n# my last comment\n")
    before = plan.read_text(encoding="utf-8")
    file = written(tmp_path, "list.csv", "Circuit,Consumer,Amps\nSpare pump,Pump,6.5\n")
    assert main(["import", str(plan), str(file)]) == 0
    assert "circuit.spare_pump" in capsys.readouterr().out
    assert plan.read_text(encoding="utf-8") == before
    assert main(["import", str(plan), str(file), "--fixed", "at=13.5 V", "--take"]) == 0
    found = compare_plans(assess(plan_of(tomllib.loads(before), "", "p")), assess(read_plan(plan)))
    assert [each.path for each in found.changes] == [("circuit", "spare_pump")]
    assert "# my last comment" in plan.read_text(encoding="utf-8")
    # What was told is remembered: another row is read the same way.
    file.write_text("Circuit,Consumer,Amps\nSpare fan,Fan,7\n", encoding="utf-8")
    assert main(["import", str(plan), str(file), "--take"]) == 0
    assert read_plan(plan).circuit["spare_fan"].load[0].at == 13.5
    assert main(["import", str(plan), str(file)]) == 2, "it is in the plan already"
    assert main(["import", str(plan), str(file), "--column", "nothing=Amps"]) == 2
    for form, names in (("csv", ["car-loads.csv", "car-wires.csv"]), ("xlsx", ["car.xlsx"]), ("json", ["car.json"])):
        assert main(["export", str(plan), "--format", form, "--out", str(tmp_path / form)]) == 0
        assert set(names) <= {each.name for each in (tmp_path / form).iterdir()}
    assert json.loads((tmp_path / "json" / "car.json").read_text(encoding="utf-8"))["format"] == 2


def test_no_file_that_is_there_is_replaced_unasked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A donor's own description beside the plan, or a list somebody went on with in a spreadsheet."""
    plan = written(tmp_path, "car.toml", EXAMPLES[0].read_text(encoding="utf-8"))
    for form, name in (("kbl", "car.kbl"), ("csv", "car-wires.csv"), ("xlsx", "car.xlsx"), ("json", "car.json")):
        mine = written(tmp_path, name, "mine")
        assert main(["export", str(plan), "--format", form, "--out", str(tmp_path)]) == 2
        assert name in capsys.readouterr().err
        assert mine.read_text(encoding="utf-8") == "mine"
    assert not (tmp_path / "car-loads.csv").exists(), "all of them or none"
    assert main(["export", str(plan), "--format", "csv", "--out", str(tmp_path), "--replace"]) == 0
    assert (tmp_path / "car-wires.csv").read_text(encoding="utf-8") != "mine"


def test_the_same_plan_gives_the_same_workbook_and_no_cell_is_a_formula() -> None:
    plan = plan_of(tomllib.loads(PIN_PLAN), "", "plan")
    one, other = workbook(plan, LISTS.values()), workbook(plan, LISTS.values())
    assert one == other
    cells = [cell for sheet in openpyxl.load_workbook(io.BytesIO(one)) for row in sheet.iter_rows() for cell in row]
    assert len(cells) > 10
    assert {cell.data_type for cell in cells} <= {"s", "n"}


@pytest.mark.parametrize(("held", "row", "taken_over"), [
    ("measured", "6 A,", False), ("measured", "6 A,plate", False), ("measured", "6 A,measured", True),
    ("measured", "6.2 A,", True), ("measured", ",,16 V", False), ("measured", ",,13 V", True),
    ("guess", ",,16 V", True), ("plate", "6 A,guess", False), ("plate", "6 A,plate", True),
    ("plate", "6 A,measured", True), ("guess", "6 A,typical", True), ("typical", "6 A,", True)])
def test_a_list_never_replaces_a_current_by_one_known_less_well(held: str, row: str, taken_over: bool,
                                                                tmp_path: Path) -> None:
    data = {"fuseplan": 1, "circuit": {"a": {"load": [
        {"name": "Pump", "current": "6.2 A", "at": "13 V", "evidence": held}]}}}
    table = rows(f"circuit,current,how known,at\na,{row}{',' * (2 - row.count(','))}\n", tmp_path)
    found = taken(data, table, LOADS, replaces=True)
    assert (not found.problems) == taken_over, found.problems
    if not taken_over:
        assert held in found.problems[0].message


@pytest.mark.parametrize(("held", "cells", "where"), [
    ("measured", "RD,", "column 'colour'"), ("measured", "RD,diagram", "column 'colour'"),
    ("measured", "RD,measured", ""), ("measured", "BN,", ""), ("measured", ",", ""), ("diagram", "RD,", ""),
    ("diagram", "RD,guess", "column 'colour'"), ("guess", "RD,diagram", "")])
def test_a_list_never_replaces_a_pin_by_one_known_less_well(held: str, cells: str, where: str, tmp_path: Path) -> None:
    """A diagram's colour in place of the one somebody measured would lead to another wire."""
    data = {"fuseplan": 1, "loom": {"l": {"kind": "donor"}},
            "connector": {"x": {"loom": "l", "pin": {"1": {"colour": "BN", "known": held}}}}}
    found = taken(data, rows(f"connector,pin,colour,how known,fate\nx,1,{cells},keep\n", tmp_path), PINS, replaces=True)
    assert [each.where for each in found.problems] == ([f"row 2, {where}"] if where else [])
    assert bool(found.changes) == (not where)
