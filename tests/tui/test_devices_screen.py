"""Every fuse in a short circuit."""

from __future__ import annotations

from pathlib import Path

from fuseplan.papers.protect_text import device_findings, protection_findings
from fuseplan.tui.screens.report import ProtectionScreen
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.workspace.devices import devices
from fuseplan.workspace.session import Session
from tests.checks.check_plans import failing

from .conftest import CAR, opened


async def test_table_words_and_picture(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("9")
        table = driver.app.screen.query_one(ColumnsTable)
        assert table.keys == [each.key for each in devices(driver.session)]
        assert set(table.keys) == {"feed.main_bus", "circuit.fuel_pump", "circuit.fan", "circuit.radio"}
        assert table.key == "circuit.fuel_pump", "the circuit one came from"
        seen = driver.seen()
        for part in ("Far end", "Clears in", "15 A mini of Fuel pump", "clearing time of a short at the far end"):
            assert part in seen
        await driver.press("enter")
        assert isinstance(driver.app.screen, ProtectionScreen)
        assert driver.app.screen.circuit == "fuel_pump"
        await driver.press("escape")
        assert driver.screen_name == "DevicesScreen"


async def test_a_feeds_fuse_shows_a_circuit_behind_it_and_its_form(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("9")
        driver.app.screen.query_one(ColumnsTable).go_to("feed.main_bus")
        await driver.settle()
        device = driver.app.screen.device
        assert device.owner == ("feed", "main_bus")
        assert device.circuit is None, "every circuit of this car has a fuse of its own"
        await driver.press("enter")
        assert "no diagram" in driver.said
        await driver.press("g")
        assert driver.app.screen.root == ("feed", "main_bus")
        assert driver.app.screen.row.path == ("feed", "main_bus", "fuse", "rating")


async def test_findings_lead_to_their_field_and_working(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("9")
        driver.app.screen.query_one(ColumnsTable).go_to("circuit.fan")
        await driver.settle()
        found = driver.app.screen.query_one(FindingsList)
        assert found.finding is not None
        await driver.press("tab")
        assert found.has_focus
        await driver.press("w")
        assert driver.app.screen.subject == ("circuit", "fan")
        await driver.press("escape", "enter")
        assert driver.screen_name == "FormScreen"


async def test_copy_and_close(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("9", "y")
        assert "Protective devices" in driver.app.clipboard
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_a_plan_without_fuses() -> None:
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        await driver.press("9")
        assert "no fuses yet" in driver.seen()
        await driver.press("enter", "g", "w")


async def test_an_order_not_assured_stands_below_the_lower_fuse_too(tmp_path: Path) -> None:
    file = tmp_path / "order.toml"
    file.write_text(failing("not-selective"), encoding="utf-8")
    async with opened(file) as driver:
        await driver.press("9")
        driver.app.screen.query_one(ColumnsTable).go_to("circuit.lamp")
        await driver.settle()
        assert "NOT selective" in driver.seen()
        found = driver.app.screen.query_one(FindingsList)
        assert [each.check for each in found._found if each.subject == "box"] == ["not-selective"]
        assert "No faults found" not in driver.seen()


async def test_a_fuse_that_cannot_break_its_short_says_so_wherever_it_is_told() -> None:
    """The finding stands at the first such fuse on the way; the others show it too."""
    async with opened(CAR) as driver:
        assessment = driver.session.assessment
        weak = [each for each in devices(driver.session)
                if each.owner[0] == "circuit" and each.row.fault.prospective_a > 1000]
        assert "fan" in {each.owner[1] for each in weak}
        for each in weak:
            assert "breaking-capacity" in {found.check for found in device_findings(assessment, each.row.fault)}
            assert "breaking-capacity" in {
                found.check for found in protection_findings(assessment.circuit(each.owner[1]))}
