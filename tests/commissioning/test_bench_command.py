"""``fuseplan bench``: the sheet printed, readings stored, a filled sheet read back, what is open."""

from __future__ import annotations

import csv
import difflib
import io
import json
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from fuseplan.bench.readings import readings_of
from fuseplan.bench.ready import STAGES, ready
from fuseplan.bench.sheet import SheetRow, sheet_of
from fuseplan.bench.signatures import SIGNED_ITEMS
from fuseplan.checks.assessment import assess
from fuseplan.cli.running import run
from fuseplan.papers.paper_set import paper_set
from fuseplan.papers.writers import xlsx
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.workspace.bench import PAGE
from tests.small_coupe import COUPE


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    file = tmp_path / "coupe.toml"
    file.write_text(COUPE, encoding="utf-8")
    return file


def test_every_row_is_printed_with_its_address(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bench", str(plan), "--full"]) == 0
    out = capsys.readouterr().out
    rows = [row for section in sheet_of(assess(read_plan(plan))) for row in section.rows]
    assert len(rows) > 100
    for row in rows:
        assert row.point.address in out
    assert "Never use an insulation tester" in " ".join(out.split())
    assert "any, not 0" in out
    assert all(len(line) <= 100 for line in out.splitlines())


def test_without_a_section_the_next_row_is_printed_and_every_reading_that_is_not_ok(
        plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = next(row for section in sheet_of(assess(read_plan(plan))) for row in section.open_rows)
    assert run(["bench", str(plan)]) == 0
    out = capsys.readouterr().out
    assert len(out.splitlines()) < 50
    assert f"--read {first.point.address}@{first.condition}=" in out
    assert "Never use an insulation tester" in " ".join(out.split())
    assert "Readings to look at" not in out
    key = f"{first.point.address}@{first.condition}"
    run(["bench", str(plan), "--read", f"{key}=3 ohm", "--read", "battery.volts=12.1", "--read",
         "circuit.horn.off_v=0"])
    assert run(["bench", str(plan)]) == 1
    out = capsys.readouterr().out
    sections = sheet_of(assess(read_plan(plan)))
    for section in sections:
        read = sum(row.reading is not None for row in section.rows)
        many = len(section.asked_rows)
        rows = f"{many} row{'s' * (many != 1)}"
        assert f"({section.section.key}): {rows}, {read} read, {len(section.open_rows)} required" \
            in " ".join(out.split())
    looked_at, _, coming = out.partition("Readings to look at")[2].partition("Next: ")
    bad = [row for section in sections for row in section.rows if row.verdict and row.verdict.level != "ok"]
    assert {row.point.address for row in bad} == {first.point.address, "battery.volts"}
    for row in bad:
        assert f"{row.reading.raw if row.reading else ''} FAULT" in looked_at
    assert f"--read {key}=" not in coming
    assert next(row for section in sections for row in section.open_rows).point.address in coming


def test_a_reading_is_stored_and_nothing_else_changes(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bench", str(plan), "--read", "circuit.horn.current=5.1", "--date", "2026-05-01"]) == 0
    assert "stored: circuit.horn.current 5.1 A" in capsys.readouterr().err
    text = plan.read_text(encoding="utf-8")
    differences = difflib.SequenceMatcher(None, COUPE.splitlines(), text.splitlines(), autojunk=False).get_opcodes()
    assert {kind for kind, *_ in differences} == {"equal", "insert"}
    assert text.count("[[reading]]") == 1


def test_a_reading_is_judged_as_it_is_stored(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # 12.4 V rested: common practice, no source.
    assert run(["bench", str(plan), "--read", "battery.volts=12.1", "--read", "circuit.horn.current=5.1"]) == 1
    battery, horn = capsys.readouterr().err.splitlines()
    assert battery == "stored: battery.volts 12.1 V, rested: FAULT: below the limit 12.4 V"
    assert horn.startswith("stored: circuit.horn.current 5.1 A, alone: ")
    assert "FAULT" not in horn
    assert run(["bench", str(plan), "--read", "circuit.horn.current=5.2"]) == 0


def test_a_reading_goes_into_the_condition_its_point_is_read_in(plan: Path,
                                                                 capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bench", str(plan), "--read", "battery.drain=20 mA", "--read", "battery.volts=12.7"]) == 0
    found, _ = readings_of(assess(read_plan(plan)))
    assert [(each.point.address, each.condition) for each in found] == [
        ("battery.drain", "parked"), ("battery.volts", "rested")]
    rows = {row.key: row for section in sheet_of(assess(read_plan(plan))) for row in section.rows}
    assert rows["battery.drain", "parked"].reading is not None
    before = plan.read_text(encoding="utf-8")
    # Volts lost in an earth say nothing without what was on: at rest the worst joint reads 0.
    assert run(["bench", str(plan), "--read", "earth.body_rear.drop_mv=20"]) == 2
    assert "say in which condition" in capsys.readouterr().err
    assert plan.read_text(encoding="utf-8") == before


def test_what_the_sheet_calls_a_row_is_taken_over_by_that_name(plan: Path) -> None:
    assert run(["bench", str(plan), "--read", "circuit.horn.current@alone=5.1"]) == 0
    assert run(["bench", str(plan), "--accept", "circuit.horn.current@alone"]) == 0
    assert read_plan(plan).circuit["horn"].load[0].evidence == "measured"
    assert run(["bench", str(plan), "--accept", "circuit.horn.current@parked"]) == 2


def test_an_odd_reading_is_refused_unless_it_is_meant(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["bench", str(plan), "--read", "circuit.horn.current=5.0", "--read", "circuit.reverse.fuse_mv=21 V"]
    assert run(asked) == 2
    assert "21 mV?" in capsys.readouterr().err
    assert plan.read_text(encoding="utf-8") == COUPE
    assert run([*asked, "--anyway"]) == 0
    assert plan.read_text(encoding="utf-8").count("[[reading]]") == 2


@pytest.mark.parametrize(("arguments", "words"), [
    (["--read", "circuit.hron.current=5"], "circuit.horn.current"), (["--read", "circuit.horn.current"], "POINT=VALUE"),
    (["--read", "circuit.horn.current=five"], "accepted is"), (["--accept", "circuit.horn.current"], "no reading"),
    (["--sign", "everything"], "wiring_looked_over"), (["--section", "statik"], "static"),
    (["--read", "circuit.horn.current=5", "--condition", "idle"], "idle_hot_day")])
def test_what_is_refused_says_what_is_accepted(plan: Path, arguments: list[str], words: str,
                                               capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bench", str(plan), *arguments]) == 2
    assert words in capsys.readouterr().err
    assert plan.read_text(encoding="utf-8") == COUPE


def test_a_filled_sheet_is_read_back(plan: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bench", str(plan), "--csv", "--full"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    for row in rows:
        if row["point"] == "circuit.horn.current@alone":
            row["reading"] = "5.1"
        if row["point"] == "circuit.reverse.return_mv@alone":
            row["reading"] = "12"
    filled = tmp_path / "filled.csv"
    with filled.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    assert run(["bench", str(plan), "--from", str(filled)]) == 0
    found, lost = readings_of(assess(read_plan(plan)))
    assert sorted(each.point.address for each in found) == ["circuit.horn.current", "circuit.reverse.return_mv"]
    assert lost == ()


def test_a_filled_spreadsheet_is_read_back(plan: Path, tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    assessment = assess(read_plan(plan))
    ((_, raw),) = xlsx.files(paper_set(assessment, ["test-sheet", "drain-card"]))
    book = openpyxl.load_workbook(io.BytesIO(raw))
    page = book[PAGE]
    heads = {cell.value: cell.column for cell in page[1]}
    for row in range(2, page.max_row + 1):
        what = str(page.cell(row, heads["What"]).value)
        if what.startswith("Horn: volts across the load") and str(page.cell(row, heads["Row"]).value)[0] == "2":
            page.cell(row, heads["Reading"]).value = 11.9
    filled = tmp_path / "filled.xlsx"
    book.save(filled)
    assert run(["bench", str(plan), "--from", str(filled)]) == 0
    found, _ = readings_of(assess(read_plan(plan)))
    assert [(each.point.address, each.condition, each.value) for each in found] == [
        ("circuit.horn.load_v", "alone", 11.9)]


def test_a_printed_sheet_of_another_plan_is_not_taken(plan: Path, tmp_path: Path,
                                                     capsys: pytest.CaptureFixture[str]) -> None:
    filled = tmp_path / "filled.csv"
    filled.write_text("row,what,reading\r\n3.1 R,Something that is not there: current,5\r\n", encoding="utf-8")
    assert run(["bench", str(plan), "--from", str(filled)]) == 2
    assert "changed since it was printed" in capsys.readouterr().err
    assert plan.read_text(encoding="utf-8") == COUPE


def test_the_document_holds_expected_and_limit_apart(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["bench", str(plan), "--read", "battery.volts=12.1"])
    capsys.readouterr()
    assert run(["bench", str(plan), "--json", "--section", "first_power"]) == 1
    rows = json.loads(capsys.readouterr().out)["sections"][0]["rows"]
    battery = next(row for row in rows if row["point"] == "battery.volts")
    assert battery["expected"]["low"] == pytest.approx(12.46)
    assert battery["limit"]["low"] == pytest.approx(12.4)
    assert battery["verdict"]["level"] == "fault"


def test_what_is_open_is_listed_stage_by_stage_and_never_called_safe(
        plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bench", str(plan), "--ready"]) == 1
    out = " ".join(capsys.readouterr().out.split())
    for stage in STAGES:
        assert stage.title in out
    assert "never that the car is safe" in out
    assert run(["bench", str(plan), "--sign", "fuses_out", "--who", "a friend", "--ready", "--json"]) == 1
    assert "fuses_out" not in {each["item"] for each in json.loads(capsys.readouterr().out)["open"]}


def readings_as_planned(rows: Iterable[SheetRow]) -> Iterator[str]:
    """A reading of each row, as text of a plan."""
    for row in rows:
        value = row.expected.value if row.expected.value is not None else None
        shown = "open" if row.point.unit == "ohm" and row.expected.words == "open" else \
            "5" if value is None and row.point.unit == "ohm" else "0" if value is None else \
            f"{value / row.point.scale:.6f}"
        yield (f'[[reading]]\npoint = \'{row.point.address}\'\ncondition = "{row.condition}"\nvalue = "{shown} '
               f'{"" if shown == "open" else row.point.unit}"\n'.replace(' "\n', '"\n'))


def test_nothing_is_left_open_where_everything_is_read_known_and_signed() -> None:
    """The law behind the list: each kind of item goes when its cause goes, and comes back with it."""
    assessment = assess(parse_plan(COUPE))
    items = ready(assessment)
    assert {item.kind for item in items} >= {"unread", "unsigned"}
    extra: list[str] = []
    # What is expected may break a limit: then more rows are asked for.
    while unread := {row.key: row for section in sheet_of(assess(parse_plan("\n".join([COUPE, *extra]))))
                     for row in section.open_rows}:
        extra += readings_as_planned(unread.values())
    signed = [f'[[signed]]\nitem = "{item.key}"\n' for item in SIGNED_ITEMS]
    after = ready(assess(parse_plan(COUPE + "\n" + "\n".join([*extra, *signed]))))
    assert not [item for item in after if item.kind in ("unread", "unsigned")]
    assert {item.words for item in after if item.kind == "danger"} == {
        item.words for item in items if item.kind == "danger"}


def test_an_unknown_circuit_on_a_live_feed_is_open_before_the_battery_is_connected() -> None:
    more = ('\n[circuit.mystery]\nfeed = "main_bus"\nfuse = { kind = "blade", rating = "10 A" }\n'
            '[[circuit.mystery.load]]\nname = "something under the seat"\n')
    found = [item for item in ready(assess(parse_plan(COUPE + more))) if item.subject == ("circuit", "mystery")]
    assert [(item.stage, item.kind) for item in found if item.kind == "unknown"] == [("battery", "unknown")]


def test_a_reading_that_says_nothing_is_named_beside_the_sheet(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan.write_text(COUPE + '\n[[reading]]\npoint = "circuit.gone.current"\nvalue = "1 A"\n', encoding="utf-8")
    run(["bench", str(plan), "--section", "reserve"])
    assert "not counted: reading 1: no point 'circuit.gone.current'" in capsys.readouterr().err
