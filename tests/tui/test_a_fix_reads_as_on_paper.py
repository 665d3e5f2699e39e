"""What follows from another finding is told the same fix on every screen as on paper: that of its cause, where its own
may be needless with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.papers.findings import fix_words
from fuseplan.tui.screens.finding import FindingPage
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.tui.widgets.findings_list import FindingsList
from tests.checks.check_plans import BASE
from tests.plans import cabin_wire, circuit_text, load

from .conftest import opened

PLAN = BASE.replace('"strip"', '"maxi"') + circuit_text(
    "seat", load("24 A"), feed="bus", earth="body", role="comfort", drop_class="control",
    fuse={"kind": "blade", "rating": "30 A", "distance": "80 mm"},
    wire=cabin_wire("0.5 mm2", "1 m"), earth_wire=cabin_wire("2.5 mm2", "0.5 m"))


@pytest.mark.parametrize("keys", [(), ("enter",), ("9",)], ids=["circuits", "form", "fuses"])
async def test_the_fix_of_what_follows_from_another_reads_as_on_paper(tmp_path: Path, keys: tuple[str, ...]) -> None:
    plan = tmp_path / "car.toml"
    plan.write_text(PLAN, encoding="utf-8")
    async with opened(plan, (160, 60)) as driver:
        await driver.press("1")
        await driver.press(*keys)
        tables = list(driver.app.screen.query(ColumnsTable))
        if tables:
            tables[0].go_to("seat" if not keys else "circuit.seat")
            await driver.settle()
        assessment = driver.session.assessment
        listed = driver.app.screen.query_one(FindingsList)
        seen = " ".join(driver.seen().replace("│", " ").split())
        followers = [each for each in listed._found if fix_words(each, assessment) != each.fix]
        assert followers
        for each in followers:
            assert fix_words(each, assessment)[:40] in seen
        driver.app.push_screen(FindingPage(driver.session, followers[0]))
        await driver.settle()
        assert fix_words(followers[0], assessment)[:40] in " ".join(driver.seen().split())
