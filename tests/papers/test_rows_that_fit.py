"""The table of protective devices stays readable where it is printed: only names are folded."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.checks import assess
from fuseplan.papers.device_columns import DEVICE_COLUMNS, device_rows
from fuseplan.papers.layout import table
from fuseplan.planfile.read import read_plan

CAR = assess(read_plan(Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"))


@pytest.mark.parametrize(("room", "most"), [(100, 3), (80, 4)])
def test_no_row_takes_more_lines_than_its_name_needs(room: int, most: int) -> None:
    rows = device_rows(CAR)
    lines, _ = table(rows, DEVICE_COLUMNS, room)
    # Only the first line of a row has figures; a line without one goes on with the name.
    longest = 0
    for line in lines:
        longest = longest + 1 if not any(each.isdigit() for each in line[30:]) else 1
        assert longest <= most, lines
    assert max(map(len, lines)) <= room


def test_a_device_stands_below_the_one_above_it() -> None:
    above: list[str] = []
    for row in device_rows(CAR):
        del above[row.depth:]
        assert row.upstream == (above[-1] if above else None)
        above.append(row.owner)
