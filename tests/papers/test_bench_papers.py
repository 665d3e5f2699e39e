"""The papers of the bench hold what the bench knows: every row, every reading, every thing to sign."""

from __future__ import annotations

from functools import cache

import pytest

from fuseplan.bench.first_power import first_power
from fuseplan.bench.ready import ready
from fuseplan.bench.sheet import sheet_of
from fuseplan.bench.signatures import SIGNED_ITEMS
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.papers.paper import Paper, Table
from fuseplan.papers.paper_set import paper_set, texts_of
from fuseplan.planfile.read import parse_plan
from tests.small_coupe import COUPE

READ = '''
[[reading]]
point = "circuit.horn.current"
condition = "alone"
value = "5.1 A"
instrument = "clamp"
date = "2026-05-01"
accepted = true
[[reading]]
point = "circuit.horn.return_mv"
value = "240 mV"
date = "2026-05-02"
[[reading]]
point = "circuit.gone.current"
value = "1 A"
[[reading]]
point = "circuit.horn.fuse_mv"
condition = "parked"
value = "0.5 mV"
[[signed]]
item = "fuses_out"
date = "2026-05-03"
who = "the owner"
'''


@cache
def car(read: bool) -> Assessment:
    return assess(parse_plan(COUPE + (READ if read else "")))


def paper(name: str, read: bool = False) -> Paper:
    (found,) = paper_set(car(read), [name]).papers
    return found


def table(of: Paper, name: str) -> list[dict[str, object]]:
    found = next(block for block in of.blocks if isinstance(block, Table) and block.name == name)
    return [dict(zip([column.key for column in found.columns], row, strict=True)) for row in found.rows]


def test_the_test_sheet_holds_every_row_that_is_asked_for_with_the_source_of_its_limit() -> None:
    rows = [row for section in sheet_of(car(False)) for row in section.asked_rows]
    printed, texts = table(paper("test-sheet"), "test-sheet"), set(texts_of(paper("test-sheet").blocks))
    assert [str(each["row"]).split()[0] for each in printed] == [row.number for row in rows]
    assert [str(each["row"]).endswith("R") for each in printed] == [row.required for row in rows]
    for row, each in zip(rows, printed, strict=True):
        assert each["expected"]
        if row.limit is not None:
            assert row.limit.source in texts
            assert f"[{str(each['limit']).rpartition('[')[2]}" in texts
    assert any("Never use an insulation tester" in text for text in texts)


def test_the_first_power_card_has_every_step_in_its_order() -> None:
    steps = table(paper("first-power-card"), "steps")
    assert [each["part"] for each in steps] == [step.title for step in first_power(car(False))]
    assert [bool(each["bulb"]) for each in steps] == [step.lamp is not None for step in first_power(car(False))]


def test_the_drain_card_turns_millivolts_into_amperes() -> None:
    rows = {each["circuit"]: each for each in table(paper("drain-card", True), "fuses")}
    # Littelfuse 287: the blade fuse of 15 A has 4.80 mΩ cold; 0.1 mV is then 21 mA, 0.5 mV 105 mA.
    assert rows["Horn"]["step"] == "21 mA"
    assert rows["Horn"]["is"] == "0.11 A"


def test_the_record_has_every_reading_with_its_day_and_says_what_does_not_count() -> None:
    record = paper("acceptance-record", True)
    rows = table(record, "readings")
    assert [(each["date"], each["reading"]) for each in rows] == [
        ("2026-05-01", "5.1 A"), ("2026-05-02", "240 mV"), ("no date", "0.5 mV")]
    assert rows[0]["accepted"] == "yes"
    assert str(rows[1]["verdict"]).startswith("FAULT")
    texts = list(texts_of(record.blocks))
    assert any(text.startswith("Not counted") and "circuit.gone.current" in text for text in texts)
    assert any("no proof of anything" in text for text in texts_of(paper("acceptance-record").blocks))


def test_the_list_to_sign_has_everything_that_is_open_and_who_signed() -> None:
    found = paper("ready-list", True)
    texts = list(texts_of(found.blocks))
    for item in ready(car(True)):
        if item.kind != "unsigned":
            assert item.words in texts
    for each in SIGNED_ITEMS:
        assert each.words in texts
    assert "the owner" in texts
    assert any("never that the car is safe" in text for text in texts)


@pytest.mark.parametrize("read", [True, False])
def test_the_diagnosis_note_is_no_proof(read: bool) -> None:
    texts = list(texts_of(paper("diagnosis-note", read).blocks))
    assert any("never a proof" in text for text in texts)
    assert ("Horn" in texts) == read
