"""Where the program fails at something, the screens say so and go on; no figure of before stands there as if it held.

Each of these tests makes the program fail on purpose; in all others an error that was caught is a failure.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from fuseplan.planfile import recovery
from fuseplan.tui.screens import limit_sets, measure, working
from fuseplan.workspace import reports, workings
from fuseplan.workspace.form import Form
from tests.breaking import BAD, bad, break_assessment

from .bursts import burst, keys
from .conftest import CAR, opened

pytestmark = pytest.mark.usefixtures("faults")
SAID = "cannot be worked out"


def fails(*args: object, **kwargs: object) -> None:
    raise ZeroDivisionError("for the test")


async def test_an_edit_the_program_fails_at_is_taken_back_and_said(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    break_assessment(monkeypatch)
    async with opened(car) as driver:
        await driver.press("down", "enter", "ctrl+u")
        await driver.type(BAD)
        assert SAID in driver.read()
        assert driver.session.plan.circuit["fan"].name == "Radiator fan", "as it was before anything was typed"
        await driver.press("escape", "down", "c")
        assert "radio_2" in driver.session.plan.circuit, "everything else goes on"


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("place", "module", "name"), [
    ("3", reports, "charging"), ("3", reports, "charging_bars"), ("4", reports, "protection_pictures"),
    ("7", limit_sets, "side_by_side"), ("8", measure, "measure_first"), ("w", workings, "figures_of"),
    ("w", working, "explain"),
])
async def test_a_screen_says_what_cannot_be_worked_out(car: Path, monkeypatch: pytest.MonkeyPatch, place: str,
                                                       module: object, name: str) -> None:
    async with opened(car, (100, 30)) as driver:
        await burst(driver, *keys(place))
        whole = driver.seen()
        await burst(driver, *keys("escape"))
        monkeypatch.setattr(module, name, fails)
        await burst(driver, *keys("c", place))
        assert driver.app.is_running
        assert SAID in driver.read()
        assert "✗ not all worked out" in driver.seen().splitlines()[0]
        shown = [line for line in whole.splitlines()[3:-1] if re.search(r"\d", line)]
        assert not [line for line in shown if line in driver.seen()], "no figure of before stands there"
        await burst(driver, *keys("escape"))
        assert driver.screen_name == "CircuitsScreen"
        assert "not all worked out" not in driver.seen(), "here all is"


async def test_a_circuit_that_cannot_be_shown_leaves_no_figures_of_another(car: Path,
                                                                           monkeypatch: pytest.MonkeyPatch) -> None:
    async with opened(car) as driver:
        circuit = type(driver.session.assessment).circuit

        def view(self: object, name: str) -> object:
            return fails() if name == "radio" and broken else circuit(self, name)

        broken = False
        monkeypatch.setattr(type(driver.session.assessment), "circuit", view)
        await driver.press("down")
        assert "DANGER" in driver.seen()
        broken = True
        await driver.press("down")
        assert SAID in driver.read()
        assert "DANGER" not in driver.seen()


async def test_what_was_kept_and_cannot_be_assessed_is_said_and_an_older_one_offered(
        car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keeper = recovery.Keeper(car)
    good = CAR.read_text().replace("Radiator fan", "Kept fan")
    work = keeper.work(bad(good), ())
    keeper.keep(replace(work, before=good))
    keeper.close()
    break_assessment(monkeypatch)
    async with opened(car, (100, 30)) as driver:
        assert "cannot be opened" in driver.read()
        assert "Go on with it" not in driver.seen()
        await driver.press("enter")
        assert driver.session.plan.circuit["fan"].name == "Kept fan"
        await driver.press("u")
        assert driver.session.plan.circuit["fan"].name == "Radiator fan"


async def test_what_was_kept_and_cannot_be_assessed_alone_leaves_the_file(car: Path,
                                                                          monkeypatch: pytest.MonkeyPatch) -> None:
    keeper = recovery.Keeper(car)
    keeper.keep(keeper.work(bad(CAR.read_text()), ()))
    keeper.close()
    break_assessment(monkeypatch)
    async with opened(car, (100, 30)) as driver:
        assert "so the plan is shown as in its file" in driver.read()
        await driver.press("escape")
        assert driver.session.document.text == CAR.read_text()
    assert len(recovery.left_behind(car)) == 1, "nothing is thrown away unasked"


async def test_after_an_error_the_plan_before_the_last_change_is_offered(car: Path,
                                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    drivers = []

    async def use() -> None:
        async with opened(car) as driver:
            drivers.append(driver)
            Form(driver.session, ("vehicle",)).type_text(("vehicle", "name"), "Good car")
            await driver.press("c")
            monkeypatch.setattr(type(driver.app), "action_save", lambda self: fails())
            await driver.press("ctrl+s")

    with pytest.raises(ZeroDivisionError):
        await use()
    drivers[0].session.close()
    async with opened(car) as driver:
        assert "An error in the program closed it" in driver.read()
        await driver.press("down", "enter")
        assert driver.session.plan.vehicle.name == "Good car"
        assert "fuel_pump_2" not in driver.session.plan.circuit
