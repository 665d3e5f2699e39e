"""The one list of columns, against the figures they show."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.papers.columns import BY_KEY, COLUMNS, ORDERS, PROPOSED, VERDICT_WORDS
from fuseplan.papers.supply_columns import CONDITION_COLUMNS, EARTH_COLUMNS, FEED_COLUMNS, SEGMENT_COLUMNS
from fuseplan.planfile.read import read_plan

PLAN = Path(__file__).parent.parent / "cli" / "plans" / "small.toml"


@pytest.fixture(scope="module")
def assessment():
    return assess(read_plan(PLAN))


def test_keys_are_once_and_the_order_is_the_tables(assessment):
    for columns in (COLUMNS, CONDITION_COLUMNS, FEED_COLUMNS, EARTH_COLUMNS, SEGMENT_COLUMNS):
        keys = [column.key for column in columns]
        assert len(keys) == len(set(keys))
        assert columns[0].rank == 0
    assert [column.key for column in COLUMNS] == [
        "name", "feed", "design", "fuse", "window", "wire", "drop", "relay", "verdict"]


def test_cells_say_what_the_views_say(assessment):
    blower, fan, radio, airbag = assessment.circuits
    cell = {view.id: {column.key: column.cell(view) for column in COLUMNS} for view in assessment.circuits}
    assert cell["blower"]["name"] == "Heater blower"
    assert cell["blower"]["feed"] == "main bus"
    assert cell["blower"]["fuse"] == f"{blower.fuse.rating_a:g} {blower.fuse.colour}{PROPOSED}"
    assert cell["fan"]["fuse"] == f"60 {fan.fuse.colour}"
    assert cell["fan"]["wire"] == "2.5 mm²"
    assert cell["fan"]["relay"] == "fitted"
    assert cell["fan"]["verdict"] == VERDICT_WORDS["fails"]
    assert cell["radio"]["design"] == "?"
    assert cell["radio"]["verdict"] == VERDICT_WORDS["unknown"]
    assert cell["airbag"]["fuse"] == "–"
    assert not any(character.isdigit() for text in cell["airbag"].values() for character in text)
    assert radio.load_a is None
    assert airbag.load_a is None


def test_sorting_puts_the_gravest_first_and_the_unknown_last(assessment):
    views = list(assessment.circuits)
    by_verdict = sorted(views, key=ORDERS["verdict"])
    assert by_verdict[0].verdict == "fails"
    by_design = sorted(views, key=ORDERS["design"])
    assert [view.load_a is None for view in by_design] == [False, False, True, True]


def test_every_cell_of_every_table_is_one_harmless_line(assessment):
    looked_at = 0
    segments = [segment for view in assessment.circuits for segment in view.segments]
    for views, columns in ((assessment.circuits, COLUMNS), (assessment.conditions, CONDITION_COLUMNS),
                           (assessment.feeds, FEED_COLUMNS), (assessment.earths, EARTH_COLUMNS),
                           (segments, SEGMENT_COLUMNS)):
        rows = list(views)
        assert rows
        for view in rows:
            for column in columns:
                looked_at += 1
                text = column.cell(view)
                assert text.isprintable()
                assert text or column.key == "binding"
    assert looked_at > 150


def test_the_circuits_can_be_sorted_by_every_column(assessment):
    assert set(ORDERS) == set(BY_KEY)
    for key, order in ORDERS.items():
        assert len(sorted(assessment.circuits, key=order)) == 4, key
