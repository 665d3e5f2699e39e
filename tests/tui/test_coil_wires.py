"""The coil wires of a relay are filled in on its form like the wires of its circuit."""

from __future__ import annotations

from pathlib import Path

from fuseplan.tui.screens.form import FormScreen

from .conftest import Driver, opened

RELAY = ("circuit", "fan", "relay")


def form(driver: Driver) -> FormScreen:
    screen = driver.app.screen
    assert isinstance(screen, FormScreen)
    return screen


async def test_a_segment_of_a_coil_wire_is_added_and_typed_on_the_form(car: Path) -> None:
    async with opened(car) as driver:
        driver.app.open_form(RELAY[:2])
        await driver.settle()
        form(driver).go_to_path((*RELAY, "wire_86"))
        await driver.settle()
        assert form(driver).row.kind == "add_item"
        await driver.press("enter")
        form(driver).go_to_path((*RELAY, "wire_86", 0, "size"))
        await driver.settle()
        await driver.type("0.5 mm2")
        relay = driver.session.plan.circuit["fan"].relay
        assert relay is not None
        assert str(relay.wire_86[0].size) == "0.5 mm2"
        labels = [row.label for row in form(driver).form.rows()]
        assert "Coil wire 86 segment 1" in labels
