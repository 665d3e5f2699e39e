"""What a circuit is for is confirmed in one action, from the table and from the form; until then it is unknown."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import Driver, opened


def without_roles(car: Path) -> Path:
    """The car with no role stated."""
    text = "\n".join(line for line in car.read_text(encoding="utf-8").splitlines() if not line.startswith("role ="))
    car.write_text(f"{text}\n", encoding="utf-8")
    return car


async def test_the_circuit_under_the_cursor_is_ticked_and_others_may_be(car: Path) -> None:
    async with opened(without_roles(car), (100, 30)) as driver:
        plan = driver.session.assessment
        assert [plan.verdict(name) for name in ("fuel_pump", "radio")] == ["unknown", "unknown"]
        assert "? Not said: what it is for" in driver.read()
        await driver.press("y")
        seen = driver.seen()
        assert "Fuel pump: fuel_pump" in seen
        assert "Radiator fan: cooling_fan" in seen
        await driver.press("enter")
        assert {name: circuit.role for name, circuit in driver.session.plan.circuit.items()} == {
            "fuel_pump": "fuel_pump", "fan": None, "radio": None}
        await driver.press("u")
        assert driver.session.plan.circuit["fuel_pump"].role is None


async def by_menu(driver: Driver) -> None:
    """The action of the form that has no key of its own."""
    await driver.press("f10")
    await driver.type("confirm what")
    await driver.press("enter")


@pytest.mark.parametrize("size", [(40, 12), (80, 24)])
async def test_the_form_has_the_same_action(car: Path, size: tuple[int, int]) -> None:
    async with opened(without_roles(car), size) as driver:
        await driver.press("enter")
        await by_menu(driver)
        await driver.press("enter")
        assert driver.session.plan.circuit["fuel_pump"].role == "fuel_pump"
        await by_menu(driver)
        await driver.press("escape")
        assert driver.session.plan.circuit["radio"].role is None


async def test_where_all_is_said_it_says_so(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("y")
        assert "No role waits to be confirmed" in driver.seen()
