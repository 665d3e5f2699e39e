"""A circuit whose verdict is unknown is never shown as one with nothing against it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.tui.screens.form import WIDE
from fuseplan.tui.widgets.findings_list import _extras

from .conftest import opened

LENGTH_OF_THE_BUS = 'length = "1.6 m", '


def words(assumed: tuple[str, ...]) -> str:
    return "\n".join(each.plain for each in _extras((), None, None, (), "road", (), assumed))


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize("form", [False, True])
@pytest.mark.parametrize("width", [80, WIDE])
async def test_what_is_not_known_stands_where_nothing_found_would(car: Path, width: int, form: bool) -> None:
    """Below the circuits, in the form, and in the list beside a wide form: without the length of the bus, nothing is
    known of the way to a radio that has all figures of its own."""
    text = car.read_text(encoding="utf-8")
    for known in (True, False):
        car.write_text(text if known else text.replace(LENGTH_OF_THE_BUS, ""), encoding="utf-8")
        async with opened(car, (width, 40)) as driver:
            await driver.press("end", *["enter"] * form)
            radio, seen = driver.session.assessment.circuit("radio"), driver.read()
            assert not radio.missing
            assert not radio.findings
            assert ("No faults found" in seen) is known
            assert bool(radio.unknown) is not known
            head = " ".join(driver.seen().splitlines()[:2])
            assert ("2 unknown" in head) is not known, "the pump and the radio"
            assert ("? Not known: supply-side" in seen) is not known
            assert "Missing" not in seen


def test_what_was_assumed_stands_beside_the_findings() -> None:
    assert "Assumed: resistance of its switch, 10 mΩ" in words(("resistance of its switch, 10 mΩ",))
