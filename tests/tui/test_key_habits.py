"""Keys do what other programs of the terminal do with them; one list of actions says it everywhere."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.binding import Binding
from textual.widgets import Input

from fuseplan.tui.actions import ACTIONS, SECTIONS, Where, actions_of, bindings, screen_words
from fuseplan.tui.screens.form import FormScreen

from .conftest import Driver, opened

HABITS = {"f1": "show_help", "f10": "menu", "ctrl+s": "save", "ctrl+z": "undo", "ctrl+y": "redo", "ctrl+r": "redo",
          "ctrl+q": "ask_quit", "f2": "rename", "f3": "next_finding", "ctrl+f": "filter"}
"""Common practice, no source."""
FREE = ("f11", "ctrl+a", "ctrl+c", "ctrl+p", "ctrl+u", "ctrl+w", "ctrl+d", "ctrl+e", "ctrl+k", "ctrl+x", "ctrl+v",
        "ctrl+h", "ctrl+i", "ctrl+j", "ctrl+m")
"""Left to the line typed into, the terminal and the palette; the last four are other keys to a terminal."""
WITHOUT_KEY = {"other_theme", "compare_plan", "import_list", "confirm_role", "to_form"}
"""Wanted seldom, or where every key is taken: the menu has them."""
CURRENT = ("circuit", "fuel_pump", "load", 0, "current")


def keys_of(where: Where) -> dict[str, str]:
    """Action of every key that holds in a place."""
    held: dict[str, str] = {}
    for section in reversed(SECTIONS[where]):
        made = list(Binding.make_bindings(bindings(section)))
        assert len({each.key for each in made}) == len(made), "no key twice in one part of the list"
        held |= {each.key: each.action.rpartition(".")[2] for each in made}
    return held


@pytest.mark.parametrize("where", SECTIONS)
def test_keys_with_a_habit_mean_that_or_nothing(where: Where) -> None:
    held = keys_of(where)
    assert held
    for key, action in held.items():
        assert key not in FREE, key
        assert action == HABITS.get(key, action), key
    assert held.get("f5", "refresh") in ("refresh", "again")
    assert held.get("d", "delete") == "delete"
    assert held.get("delete", "delete") == "delete"
    assert held.get("escape", "close") == "close", "Esc goes back and does nothing else"


@pytest.mark.parametrize("where", SECTIONS)
def test_every_action_of_a_place_has_a_key_there_or_stands_in_the_menu(where: Where) -> None:
    held = set(keys_of(where).values())
    listed = actions_of(where)
    assert {action.name for action in listed if action.keys} <= held
    assert {action.name for action in listed if not action.keys} <= WITHOUT_KEY
    assert any(action.name == "menu" for action in listed)


@pytest.mark.one_in(2)
@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_a_numbered_screen_says_which_it_is(car: Path, size: tuple[int, int]) -> None:
    numbered = [action for action in ACTIONS if action.keys and action.keys[0] in "123456789"]
    assert len(numbered) > 6
    async with opened(car, size) as driver:
        for action in numbered:
            # Digits are a reading where readings are typed.
            await driver.press(*(["escape"] if driver.screen_name == "BenchScreen" else []), action.keys[0])
            head = driver.seen().splitlines()[0]
            assert screen_words(action.name) in head
            assert "saved" in head


async def test_f2_renames_on_every_screen_with_named_parts(car: Path) -> None:
    async with opened(car) as driver:
        for keys in (("f2",), ("enter", "f2"), ("2", "f2")):
            await driver.press(*keys)
            assert driver.screen_name == "Rename"
            await driver.press("escape", "escape")


async def test_what_has_no_name_of_its_own_says_so_at_f2(car: Path) -> None:
    async with opened(car) as driver:
        for root in (("alternator",), ("zone", "not_yet")):
            driver.app.open_form(root)
            await driver.settle()
            await driver.press("f2")
            assert driver.screen_name == "FormScreen"
            assert "rename" in driver.said or "only one" in driver.said
            await driver.press("escape")


async def test_f5_reads_what_another_program_changed(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("f5")
        assert "No other program has changed the file" in driver.said
        car.write_text(car.read_text(encoding="utf-8").replace("Fuel pump", "Lift pump"), encoding="utf-8")
        await driver.press("f5")
        assert driver.session.plan.circuit["fuel_pump"].name == "Lift pump"


async def test_f5_never_drops_what_is_not_saved(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c")
        car.write_text(car.read_text(encoding="utf-8").replace("Fuel pump", "Lift pump"), encoding="utf-8")
        for _ in range(2):
            await driver.press("f5")
            assert "changed by another program" in driver.said
        assert "fuel_pump_2" in driver.session.plan.circuit


async def test_ctrl_a_selects_all_of_the_line_typed_into(car: Path) -> None:
    async with opened(car) as driver:
        await _on_current(driver)
        await driver.press("ctrl+a")
        line = driver.app.screen.query_one(Input)
        assert line.selected_text == "6.5 A"
        await driver.type("7 A")
        assert line.value == "7 A"
        await driver.press("escape", "f12", "ctrl+a")
        assert driver.app.screen.query_one(Input).selected_text.endswith("car.toml")


async def test_ctrl_r_does_again_what_was_undone(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c", "ctrl+z", "ctrl+r")
        assert "fuel_pump_2" in driver.session.plan.circuit


async def test_esc_takes_nothing_out_of_the_plan(car: Path) -> None:
    async with opened(car) as driver:
        await _on_current(driver)
        await driver.press("end", "ctrl+u", "escape")
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "6.5 A"
        assert not driver.session.drafts.texts
        assert "stays 6.5 A" in driver.said
        await _on_current(driver)
        await driver.press("end", "ctrl+u", "down")
        assert driver.session.plan.circuit["fuel_pump"].load[0].current is None


async def _on_current(driver: Driver) -> None:
    await driver.press("enter")
    screen = driver.app.screen
    assert isinstance(screen, FormScreen)
    screen.go_to_path(CURRENT)
    await driver.settle()
