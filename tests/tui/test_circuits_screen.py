"""Every action of the circuits screen, by its keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.tui.screens.circuits import CircuitsScreen
from fuseplan.tui.screens.library import LibraryScreen
from fuseplan.tui.screens.narrowing import Narrowing
from fuseplan.tui.screens.working import WorkingScreen
from fuseplan.tui.widgets.circuits_table import CircuitsTable
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.workspace.session import Session

from .conftest import Driver, opened


def table(driver: Driver) -> CircuitsTable:
    return driver.app.plan_screen.query_one(CircuitsTable)


async def test_first_screen_says_how_the_plan_stands(car: Path) -> None:
    async with opened(car) as driver:
        seen = driver.seen()
        assert "Wendel 700 estate" in seen
        assert "road limits" in seen
        assert "12 V" in seen
        assert "Idle, hot day" in seen
        assert f"{driver.session.assessment.count('danger')} danger" in seen
        assert "✗ FAILS" in seen
        assert "load 9.9 A ·" in seen
        assert "wire 29 A" in seen
        await driver.resize(120, 24)
        assert "smallest for load 9.9 A ·" in driver.seen()
        assert "largest for wire 29 A" in driver.seen()


async def test_cursor_shows_window_and_findings_of_its_circuit(car: Path) -> None:
    async with opened(car, (80, 30)) as driver:
        await driver.press("down")
        seen = driver.seen()
        assert "no fuse fits" in seen
        found = driver.app.screen.query_one(FindingsList).finding
        assert found is not None
        assert found.subject == "fan"
        for part in ("Fix:", "⚠", "Source:"):
            assert part in seen


async def test_add_from_the_library(car: Path) -> None:
    async with opened(car, (80, 30)) as driver:
        await driver.press("a")
        assert driver.screen_name == "LibraryScreen"
        await driver.type("horn")
        assert "⚠" in driver.seen()
        assert "Measure the path" in driver.seen()
        await driver.press("enter")
        # The library's horns hang on names this car lacks: each is asked for.
        for _ in range(6):
            if driver.screen_name != "Choose":
                break
            await driver.press("down", "enter")
        assert driver.screen_name == "CircuitsScreen"
        new = [name for name in driver.session.plan.circuit if "horn" in name]
        assert new
        assert list(driver.session.plan.circuit).index(new[0]) == 1, "behind the circuit under the cursor"
        assert table(driver).circuit == new[0]
        assert "Measure the path" in driver.said
        assert driver.session.plan.circuit[new[0]].caution


async def test_duplicate_rename_delete_undo_redo(car: Path) -> None:
    async with opened(car) as driver:
        before = driver.session.document.text
        await driver.press("c")
        assert list(driver.session.plan.circuit) == ["fuel_pump", "fuel_pump_2", "fan", "radio"]
        assert table(driver).circuit == "fuel_pump_2"
        await driver.press("r")
        await driver.press("ctrl+u")
        await driver.type("Lift pump")
        await driver.press("tab", "ctrl+u")
        await driver.type("lift_pump")
        await driver.press("enter")
        assert driver.session.plan.circuit["lift_pump"].name == "Lift pump"
        assert table(driver).circuit == "lift_pump"
        await driver.press("delete")
        assert "lift_pump" not in driver.session.plan.circuit
        assert "Ctrl+Z brings it back" in driver.said
        await driver.press("u")
        assert "lift_pump" in driver.session.plan.circuit
        await driver.press("U")
        assert "lift_pump" not in driver.session.plan.circuit
        await driver.press("ctrl+z", "ctrl+z", "ctrl+z")
        assert driver.session.document.text == before
        await driver.press("u")
        assert "Nothing to undo" in driver.said


async def test_rename_refuses_a_taken_id(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("r", "tab", "ctrl+u")
        await driver.type("fan")
        await driver.press("enter")
        assert driver.screen_name == "Rename", "what was typed is not thrown away"
        assert "already" in driver.seen()
        await driver.press("escape")
        assert "fuel_pump" in driver.session.plan.circuit


async def test_add_empty_circuit_opens_its_form(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("A")
        await driver.type("Reversing camera")
        await driver.press("enter")
        assert driver.screen_name == "FormScreen"
        assert driver.session.plan.circuit["reversing_camera"].name == "Reversing camera"
        assert driver.session.assessment.verdict("reversing_camera") == "unknown"


async def test_move_up_and_down(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("shift+down")
        assert list(driver.session.plan.circuit) == ["fan", "fuel_pump", "radio"]
        assert table(driver).circuit == "fuel_pump"
        await driver.press("shift+down", "shift+down")
        assert list(driver.session.plan.circuit) == ["fan", "radio", "fuel_pump"]
        await driver.press("shift+up")
        assert list(driver.session.plan.circuit) == ["fan", "fuel_pump", "radio"]
        assert "# the pump sits under the boot floor" in driver.session.document.text


async def test_filter_sort_show_all(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("slash")
        await driver.type("ignition_bus")
        await driver.press("enter")
        assert [table(driver).row_count, driver.session.listing.text] == [2, "ignition_bus"]
        await driver.press("shift+down")
        assert "x drops filter" in driver.said
        await driver.press("x")
        assert table(driver).row_count == 3
        await driver.press("o")
        await driver.press("down", "enter")
        assert driver.session.listing.sort == "name"
        assert driver.session.listing.ids(driver.session.assessment) == ["fuel_pump", "fan", "radio"]
        await driver.press("o", "enter")
        assert driver.session.listing.ids(driver.session.assessment) == ["radio", "fan", "fuel_pump"]


async def test_a_click_on_a_heading_sorts(car: Path) -> None:
    async with opened(car) as driver:
        await driver.click("CircuitsTable", 3, 0)
        assert driver.session.listing.sort == "name"


async def test_filter_without_a_match_says_how_to_get_back(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("slash")
        await driver.type("zzz")
        await driver.press("enter")
        assert "x shows all circuits again" in driver.seen()
        await driver.press("enter", "delete", "c", "r", "g")
        assert list(driver.session.plan.circuit) == ["fuel_pump", "fan", "radio"]
        await driver.press("x")
        assert table(driver).row_count == 3


async def test_a_filter_taken_back_leaves_the_cursor_where_it_was(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("down", "slash")
        await driver.type("radio zzz")
        await driver.press("escape")
        assert table(driver).circuit == "fan"


async def test_a_filter_taken_back_leaves_the_arrow_keys_to_the_table(car: Path) -> None:
    """However long it matched nothing: the screen below is painted as it is typed, or is not."""
    for is_painted in (False, True):
        async with opened(car) as driver:
            await driver.press("slash")
            await driver.type("zzz")
            below = driver.app.plan_screen
            assert not table(driver).display
            if is_painted:
                with below._context():
                    below._on_timer_update()
            await driver.press("escape", "down")
            assert driver.app.focused is table(driver)
            assert table(driver).cursor_row == 1


async def test_next_finding_walks_through_all_of_them_and_goes_to_the_field(car: Path) -> None:
    async with opened(car) as driver:
        seen = []
        for _ in driver.session.assessment.findings:
            await driver.press("n")
            seen.append(driver.app.finding)
            if driver.screen_name == "FindingPage":
                await driver.press("escape")
        assert seen == list(driver.session.assessment.findings)
        await driver.press("N")
        assert driver.app.finding == seen[-2]


async def test_go_from_a_finding_to_its_field(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("down")
        found = driver.app.screen.query_one(FindingsList).finding
        await driver.press("g")
        assert driver.screen_name == "FormScreen"
        assert ".".join(map(str, driver.app.screen.row.path)) == found.fields[0]


async def test_save_writes_the_file_and_clears_the_mark(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c")
        assert "● unsaved" in driver.seen()
        await driver.press("ctrl+s")
        assert "Saved to" in driver.said
        assert "● unsaved" not in driver.seen()
        assert "fuel_pump_2" in read_plan(car).circuit


async def test_save_asks_when_the_file_changed_meanwhile(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c")
        car.write_text(car.read_text().replace("Wendel 700 estate", "Changed elsewhere"))
        await driver.press("ctrl+s")
        assert driver.screen_name == "Choose"
        assert "Changed elsewhere" in car.read_text(), "nothing is overwritten unasked"
        await driver.press("end", "up", "enter")
        assert driver.session.plan.vehicle.name == "Changed elsewhere"
        assert "fuel_pump_2" not in driver.session.plan.circuit
        await driver.press("c")
        car.write_text(car.read_text().replace("Changed elsewhere", "Changed again"))
        await driver.press("ctrl+s", "end", "enter")
        assert read_plan(car).vehicle.name == "Changed elsewhere", "overwritten as chosen"


async def test_save_as_another_file(car: Path, tmp_path: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c", "f12", "ctrl+u")
        other = tmp_path / "other.toml"
        await driver.type(str(other))
        await driver.press("enter")
        assert "fuel_pump_2" in read_plan(other).circuit
        assert "fuel_pump_2" not in read_plan(car).circuit
        assert driver.session.document.path == other


async def test_quit_asks_when_something_is_not_saved(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c", "q")
        assert driver.screen_name == "Choose"
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"
        await driver.press("ctrl+q", "enter")
        assert "fuel_pump_2" in read_plan(car).circuit
        assert driver.app.return_value == 0


async def test_quit_at_once_when_everything_is_saved(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("q")
        assert driver.app.return_value == 0


async def test_help_cautions_menu_palette_theme(car: Path) -> None:
    async with opened(car, (100, 50)) as driver:
        await driver.press("question_mark")
        assert "Keys and signs" in driver.seen()
        await driver.press("escape", "exclamation_mark")
        assert "Safety cautions" in driver.seen()
        await driver.press("escape", "f10")
        await driver.type("duplicate")
        await driver.press("enter")
        assert "fuel_pump_2" in driver.session.plan.circuit
        await driver.press("ctrl+p")
        await driver.type("Sort by")
        await driver.pilot.pause(0.3)
        await driver.press("enter")
        assert driver.screen_name == "Choose"
        await driver.press("escape")
        before = driver.app.theme
        await driver.press("l")
        assert driver.app.theme != before


async def test_mouse_reaches_the_key_bar(car: Path) -> None:
    async with opened(car) as driver:
        # "Enter edit" stands first.
        await driver.click("KeyBar", 3, 0)
        assert driver.screen_name == "FormScreen"


async def test_text_from_the_file_is_never_markup_nor_escape_code(car: Path) -> None:
    hostile = "[red]x[/red] \\u001b[31m[@click=app.exit]"
    car.write_text(car.read_text().replace('name = "Fuel pump"', f'name = "{hostile}"\nnote = "{hostile}"'))
    async with opened(car, (160, 40)) as driver:
        seen = driver.seen()
        assert "[red]x[/red] \\x1b[31m" in seen
        assert "\x1b" not in seen
        await driver.press("enter")
        assert "[red]x[/red] \\x1b[31m" in driver.seen()
        await driver.press("escape", "r")
        assert "\x1b" not in driver.seen()
        await driver.press("escape", "delete")
        assert "[red]" in driver.said


async def test_a_plan_without_circuits_says_what_to_do() -> None:
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        assert "a adds one from the library" in driver.seen()
        assert "No faults found" not in driver.seen()
        assert "No fuse" not in driver.seen()
        await driver.press("enter", "c", "delete", "n", "g", "shift+up")
        assert isinstance(driver.app.screen, CircuitsScreen)


@pytest.mark.parametrize(("key", "screen"), [("a", LibraryScreen), ("w", WorkingScreen)])
async def test_letters_that_arrive_together_are_looked_for_in_one_go(
        car: Path, monkeypatch: pytest.MonkeyPatch, key: str, screen: type[Narrowing[object]]) -> None:
    async with opened(car) as driver:
        await driver.press(key)
        looked_for: list[str] = []
        listed = screen.list_what_fits

        def list_again(own: Narrowing[object], typed: str) -> None:
            looked_for.append(typed)
            listed(own, typed)

        monkeypatch.setattr(screen, "list_what_fits", list_again)
        await driver.type("fuse")
        assert looked_for == ["fuse"]
        await driver.press("backspace", "backspace")
        assert looked_for == ["fuse", "fus", "fu"]


async def test_the_library_begins_at_what_is_most_likely_meant(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("a")
        screen = driver.app.screen
        assert isinstance(screen, LibraryScreen)
        for typed, meant in (("side left", "side_tail_left"), ("radiator fan, single", "fan_single"),
                             ("windscreen wiper", "wiper_front"), ("dip", "dip_beam_left"), ("zzz", None),
                             ("solenoid", "starter_solenoid"), ("indicators, left", "indicators_left"),
                             ("starter motor", "starter_main"), ("brake light", "stop_lamps"),
                             ("headlight", "dip_beam_left")):
            await driver.press("ctrl+u")
            await driver.type(typed)
            assert (screen.chosen.id if screen.chosen else None) == meant, typed


async def test_home_and_end_go_to_the_first_and_the_last_circuit(car: Path) -> None:
    async with opened(car) as driver:
        ids = list(driver.session.plan.circuit)
        await driver.press("end")
        assert table(driver).circuit == ids[-1]
        await driver.press("home")
        assert table(driver).circuit == ids[0]


async def test_an_alternator_that_is_not_known_is_no_zero(car: Path) -> None:
    lines = car.read_text(encoding="utf-8").splitlines(keepends=True)
    car.write_text("".join(line for line in lines if not line.startswith(("rated", "low_speed"))), encoding="utf-8")
    async with opened(car) as driver:
        assert "balance ? alternator unknown" in driver.seen()
        await driver.press("3")
        assert "not known yet: see the alternator's form" in driver.seen()
        assert "of 0 A" not in driver.seen().split("Worst while running")[0]


async def test_a_new_part_is_named_without_spaces(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("v")
        await driver.type("new zone")
        await driver.press("enter")
        await driver.type("front loom")
        await driver.press("enter")
        assert "front_loom" in driver.seen()


async def test_the_row_under_the_cursor_stays_in_sight_of_a_message() -> None:
    async with opened(shipped_folder("examples") / "coupe_turbo.toml") as driver:
        table = driver.app.screen.query_one(CircuitsTable)
        for _ in range(table.size.height - 2):
            await driver.press("down")
        rows = table.size.height
        driver.app.say("so long a message that it takes more than one line " * 4)
        await driver.settle()
        assert table.size.height < rows, "the message takes lines away"
        below = table.cursor_row + 1 - int(table.scroll_offset.y)
        assert below < table.size.height, "heading included, the row is on the screen"
