"""The form: typing, judging with every letter, keeping what is not taken, adding and removing parts."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input

from fuseplan.checks.not_said import NotSaid
from fuseplan.plan.references import Path as PlanPath
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.tui.screens.form import FormScreen
from fuseplan.tui.widgets.entry_line import EntryLine
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.workspace.findings import field_of
from fuseplan.workspace.form import Form

from .bursts import burst, key, keys, paste
from .conftest import Driver, opened

EXAMPLES = shipped_folder("examples")
PUMP = ("circuit", "fuel_pump")
CURRENT = (*PUMP, "load", 0, "current")


def form(driver: Driver) -> FormScreen:
    screen = driver.app.screen
    assert isinstance(screen, FormScreen)
    return screen


async def go_to(driver: Driver, *path: str | int) -> None:
    form(driver).go_to_path(path)
    await driver.settle()
    assert form(driver).row.path == path


async def replace(driver: Driver, text: str) -> None:
    await driver.press("end", "ctrl+u")
    await driver.type(text)


async def test_typing_is_judged_with_every_letter(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *CURRENT)
        await replace(driver, "16.5 A")
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "16.5 A"
        assert driver.session.assessment.circuit("fuel_pump").load_a > 15
        assert "✗ FAILS" in driver.seen()
        assert "smallest for load 25.0 A" in driver.seen()


async def test_letters_that_arrive_together_are_judged_in_one_go(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Behind a paste, or before a key that leaves the form, in two: all are in the plan whatever follows them."""
    judged: list[tuple[PlanPath, str]] = []
    taken = Form.type_text

    def type_text(own: Form, path: PlanPath, text: str) -> None:
        judged.append((path, text))
        taken(own, path, text)

    monkeypatch.setattr(Form, "type_text", type_text)
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *CURRENT)
        await driver.press("end", "ctrl+u")
        judged.clear()
        await driver.type("12.5 A")
        assert judged == [(CURRENT, "12.5 A")]
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "12.5 A"
        await driver.press("end", "ctrl+u")
        judged.clear()
        await burst(driver, paste("7"), *keys(*".5 A"))
        assert judged[-1] == (CURRENT, "7.5 A")
        assert len(judged) <= 2
        judged.clear()
        await burst(driver, *keys(*"00", "backspace", "ctrl+u", *"9 A", "escape"))
        assert judged[-1] == (CURRENT, "9 A")
        assert len(judged) <= 2
        assert driver.screen_name != "FormScreen"
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "9 A"


async def test_what_is_not_taken_is_kept_and_said_and_the_plan_keeps_its_value(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *CURRENT)
        await replace(driver, "fast")
        seen = driver.seen()
        assert "'fast' is not a current" in seen
        assert "✎ 1 entry with an error" in seen
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "6.5 A"
        await driver.press("escape", "enter")
        assert form(driver).row.path == CURRENT, "the form opens where something waits"
        assert driver.app.screen.query_one(Input).value == "fast"
        await driver.press("escape", "ctrl+s")
        assert "not in the file: 1 entry with an error" in driver.said
        assert str(read_plan(car).circuit["fuel_pump"].load[0].current) == "6.5 A"


async def test_names_are_completed(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "feed")
        await replace(driver, "mai")
        assert "Enter takes main_bus" in driver.seen()
        await driver.press("enter")
        assert driver.session.plan.circuit["fuel_pump"].feed == "main_bus"


@pytest.mark.parametrize("key", ["enter", "down"])
async def test_a_name_that_is_shown_is_taken_for_the_id(car: Path, key: str) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "feed")
        await replace(driver, "Permanent bus")
        assert driver.session.plan.circuit["fuel_pump"].feed != "main_bus"
        assert "Enter takes main_bus" in driver.seen()
        await driver.press(key)
        assert driver.session.plan.circuit["fuel_pump"].feed == "main_bus"
        assert not driver.session.drafts.texts


async def test_choices_are_offered_and_taken(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "load", 0, "kind")
        await driver.press("enter")
        assert driver.screen_name == "Choose"
        await driver.press("home", "enter")
        assert driver.session.plan.circuit["fuel_pump"].load[0].kind == "resistive"
        await go_to(driver, *PUMP, "load", 0, "when")
        await driver.press("f4")
        assert driver.screen_name == "ChooseSome"
        await driver.press("home", "space", "enter")
        assert "always" in driver.session.plan.circuit["fuel_pump"].load[0].when


async def test_current_gives_way_to_power(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "load", 0, "power")
        await replace(driver, "88 W")
        assert "has both `current` and `power`" in driver.seen()
        await go_to(driver, *CURRENT)
        await driver.press("end", "ctrl+u")
        assert "taken out of the plan when you go on" in driver.seen()
        assert driver.session.plan.circuit["fuel_pump"].load[0].current is not None
        await driver.press("down")
        load = driver.session.plan.circuit["fuel_pump"].load[0]
        assert (load.current, str(load.power)) == (None, "88 W"), "the waiting text is tried again"
        assert not driver.session.drafts.texts


async def test_a_part_comes_into_the_plan_when_it_is_complete(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "relay")
        await driver.press("enter")
        assert form(driver).row.path == (*PUMP, "relay", "contact")
        await driver.type("mini_40")
        assert driver.session.plan.circuit["fuel_pump"].relay is None
        await go_to(driver, *PUMP, "relay", "coil_feed")
        await driver.type("ignition_bus")
        relay = driver.session.plan.circuit["fuel_pump"].relay
        assert relay is not None
        assert (relay.contact, relay.coil_feed) == ("mini_40", "ignition_bus")
        assert not driver.session.drafts.texts


async def test_add_move_copy_and_remove_segments(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "wire")
        await driver.press("enter")
        assert form(driver).row.path == (*PUMP, "wire", 1, "size")
        await driver.type("4 mm2")
        sizes = [str(each.size) for each in driver.session.plan.circuit["fuel_pump"].wire]
        assert sizes == ["2.5 mm2", "4 mm2"]
        await driver.press("f6", "enter")
        assert [str(each.size) for each in driver.session.plan.circuit["fuel_pump"].wire] == ["4 mm2", "2.5 mm2"]
        assert form(driver).row.path == (*PUMP, "wire", 0, "size")
        await driver.press("f6", "down", "down", "enter")
        assert len(driver.session.plan.circuit["fuel_pump"].wire) == 3
        await driver.press("f6", "down", "down", "down", "enter")
        assert len(driver.session.plan.circuit["fuel_pump"].wire) == 2
        await driver.press("ctrl+z")
        assert len(driver.session.plan.circuit["fuel_pump"].wire) == 3


async def test_first_earth_wire_segment(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "earth_wire")
        await driver.press("enter")
        await driver.type("2.5 mm2")
        assert [str(each.size) for each in driver.session.plan.circuit["fuel_pump"].earth_wire] == ["2.5 mm2"]


async def test_typing_is_one_step_to_undo(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "name")
        await replace(driver, "Lift pump")
        await driver.press("ctrl+z")
        assert driver.session.plan.circuit["fuel_pump"].name == "Fuel pump"
        assert driver.app.screen.query_one(Input).value == "Fuel pump"
        await driver.press("ctrl+y")
        assert driver.session.plan.circuit["fuel_pump"].name == "Lift pump"


async def test_an_entry_that_was_not_taken_is_what_undo_takes_back_first(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "name")
        await replace(driver, "Lift pump")
        await go_to(driver, *PUMP, "feed")
        await replace(driver, "x")
        assert driver.session.drafts.texts == {(*PUMP, "feed"): "x"}
        await driver.press("ctrl+z")
        assert driver.session.drafts.texts == {}
        assert driver.app.screen.query_one(Input).value == driver.session.plan.circuit["fuel_pump"].feed
        assert driver.session.plan.circuit["fuel_pump"].name == "Lift pump"
        await driver.press("ctrl+z")
        assert driver.session.plan.circuit["fuel_pump"].name == "Fuel pump"


async def test_undo_takes_back_what_was_typed_last_whether_it_was_taken_or_not(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        for field, text in (("name", "Lift pump"), ("feed", "x"), ("note", "by the tank")):
            await go_to(driver, *PUMP, field)
            await replace(driver, text)
        await go_to(driver, *PUMP, "name")
        await driver.press("ctrl+z")
        assert driver.session.plan.circuit["fuel_pump"].note is None
        assert driver.session.drafts.texts == {(*PUMP, "feed"): "x"}
        await driver.press("ctrl+z")
        assert driver.session.drafts.texts == {}
        assert "feed" in driver.said
        assert driver.session.plan.circuit["fuel_pump"].name == "Lift pump"
        await driver.press("ctrl+z")
        assert driver.session.plan.circuit["fuel_pump"].name == "Fuel pump"


async def test_rare_keys_unfold(car: Path) -> None:
    async with opened(car, (80, 60)) as driver:
        await driver.press("enter")
        assert "must run" not in driver.seen().split("more")[0]
        rows = form(driver).form.rows()
        last = max(index for index, row in enumerate(rows) if row.kind == "more" and row.depth == 0)
        form(driver).go_to_row(last)
        await driver.press("enter")
        assert any(row.path == (*PUMP, "must_run") for row in form(driver).form.rows())


async def test_next_part_next_circuit_next_finding(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter", "f8")
        assert form(driver).row.path[:4] == (*PUMP, "load", 0)
        await driver.press("f7")
        assert len(form(driver).row.path) == 3 or form(driver).row.kind == "id"
        await driver.press("ctrl+n")
        assert form(driver).root == ("circuit", "fan")
        await driver.press("f3")
        found = driver.session.assessment.findings_for("circuit", "fan")[0]
        assert ".".join(map(str, form(driver).row.path)) == found.fields[0]
        found = driver.session.assessment.findings_for("circuit", "fan")
        assert f"Fix: {found[0].fix}"[:60] in driver.seen()
        await driver.press("ctrl+b")
        assert form(driver).root == PUMP


async def test_rename_the_id_from_the_form(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter", "ctrl+home", "enter", "ctrl+u")
        await driver.type("pump")
        await driver.press("enter")
        assert "pump" in driver.session.plan.circuit
        assert form(driver).root == ("circuit", "pump")


async def test_undo_of_the_circuit_itself_closes_its_form(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c", "enter", "ctrl+z")
        assert driver.screen_name == "CircuitsScreen"


async def test_forms_of_other_parts(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("v")
        await driver.type("alternator")
        await driver.press("enter")
        await go_to(driver, "alternator", "rated")
        await replace(driver, "120 A")
        assert str(driver.session.plan.alternator.rated) == "120 A"
        await driver.press("escape", "v")
        await driver.type("new zone")
        await driver.press("enter")
        await driver.type("boot")
        await driver.press("enter")
        assert form(driver).root == ("zone", "boot")
        await go_to(driver, "zone", "boot", "ambient")
        await driver.type("40 degC")
        assert str(driver.session.plan.zone["boot"].ambient) == "40 degC"


async def test_limit_set_that_is_not_on_file_is_refused(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("v", "enter")
        await go_to(driver, "vehicle", "limits")
        await replace(driver, "roads")
        assert "is not a set of limits on file" in driver.seen()
        assert driver.session.plan.vehicle.limits == "road"


async def test_mouse_chooses_a_row_and_adds_a_part(car: Path) -> None:
    async with opened(car, (80, 60)) as driver:
        await driver.press("enter")
        rows = form(driver).form.rows()
        at = next(index for index, row in enumerate(rows) if row.path == CURRENT)
        await driver.click("FieldList", 4, at)
        assert form(driver).row.path == CURRENT
        at = next(index for index, row in enumerate(rows) if row.kind == "add_item" and row.path[-1] == "load")
        await driver.click("FieldList", 4, at)
        assert len(driver.session.plan.circuit["fuel_pump"].load) == 2


async def test_wide_screens_show_all_findings_beside_the_form(car: Path) -> None:
    async with opened(car, (140, 40)) as driver:
        await driver.press("down", "enter")
        assert "Source:" in driver.seen()
        assert driver.seen().count("Fix:") >= 2


async def test_keys_typed_ahead_keep_their_order(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("down", "enter")
        await burst(driver, *keys("ctrl+u", *"Big", "space", *"fam", "backspace", "n", "down", "up", "down", "ctrl+u",
                                  *"main", "enter", "escape", "c"))
        fan = driver.session.plan.circuit["fan"]
        assert (fan.name, fan.feed) == ("Big fan", "main_bus")
        assert driver.screen_name == "CircuitsScreen"
        assert not driver.session.drafts.texts


async def test_a_message_never_covers_the_row_one_types_into(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("down", "enter")
        await go_to(driver, "circuit", "fan", "fuse", "rating")
        driver.app.say("so long a message that it takes more than one line " * 4)
        await driver.settle()
        assert "Esc back" in driver.seen(), "the keys stay below it"
        assert f"▸{'  ' * form(driver).row.depth}{form(driver).row.label}" in driver.seen()


async def test_letters_go_into_the_field_also_where_its_row_is_out_of_sight(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "name")
        line, fields = form(driver).query_one(EntryLine), form(driver).query_one(FieldList)
        fields.scroll_to(y=fields.max_scroll_y, animate=False, immediate=True)
        await driver.settle()
        assert not line.visible
        await driver.press("end", "X")
        assert driver.session.plan.circuit["fuel_pump"].name.endswith("X")


async def test_the_keyboard_follows_the_last_of_several_moves_at_once(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        screen = form(driver)
        kinds = [row.kind for row in screen.query_one(FieldList).rows]
        field, other = kinds.index("field"), next(at for at, kind in enumerate(kinds) if kind != "field")
        for ways, owner in (((field, other), FieldList), ((other, field), EntryLine)):
            for at in ways:
                screen.go_to_row(at)
            assert isinstance(driver.app.focused, owner)
            await driver.settle()
            assert isinstance(driver.app.focused, owner)


async def test_a_text_longer_than_the_line_is_seen_where_the_cursor_is(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "name")
        await driver.press("end", "ctrl+u")
        await burst(driver, paste("from bulkhead to boot along the left sill and back again to the tan"))
        await driver.type("k")
        assert "back again to the tank" in driver.seen()
        await driver.press("home")
        assert "from bulkhead to boot" in driver.seen()


async def test_finding_after_finding_is_shown_with_cure_and_caution(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("down", "enter")
        found = driver.session.assessment.findings_for("circuit", "fan")
        asked = driver.session.assessment.not_said_of("circuit", "fan")
        assert len(found) > 1
        assert asked
        for number, each in enumerate((*found, *asked, found[0])):
            await driver.press("f3")
            if isinstance(each, NotSaid):
                assert f"Not said: {each.what}"[:50] in driver.said
                continue
            if field_of(driver.session, each)[0] != ("circuit", "fan"):
                assert "Fixed here" in driver.said
                await driver.press("escape")
                continue
            seen = driver.read()
            assert f"{number % (len(found) + len(asked)) + 1} of {len(found)}" in seen
            assert f"⚠ {each.caution}"[:50] in seen
            assert driver.app.finding == each


async def test_a_finding_fixed_elsewhere_is_gone_to(tmp_path: Path) -> None:
    text = (EXAMPLES / "coupe_turbo.toml").read_text(encoding="utf-8")
    joint, length = 'resistance = "0.47 ohm"', 'wire = [{ size = "2.5 mm2", length = "1.0 m"'
    head, _, tail = text.partition("[feed.light_switch]")
    assert joint in tail
    assert length in tail
    plan = tmp_path / "car.toml"
    long = tail.replace(joint, 'resistance = "5 mohm"').replace(length, length.replace("1.0 m", "14 m"), 1)
    plan.write_text(f"{head}[feed.light_switch]{long}", encoding="utf-8")
    async with opened(plan) as driver:
        fog = ("circuit", "rear_fog")
        driver.app.open_form(fog)
        await driver.settle()
        found = driver.session.assessment.findings_for(*fog)
        away = next(each for each in found if field_of(driver.session, each)[0] != fog)
        root, path = field_of(driver.session, away)
        for _ in range(found.index(away) + 1):
            await driver.press("f3")
        assert form(driver).root == root
        assert form(driver).row.path == path
        assert "Fixed here" in driver.said
        await driver.press("escape")
        assert form(driver).root == fog


async def test_tab_takes_the_completion_as_enter_does(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "feed")
        at = form(driver)._cursor
        await replace(driver, "mai")
        await driver.press("tab")
        assert driver.session.plan.circuit["fuel_pump"].feed == "main_bus"
        assert form(driver)._cursor == at + 1
        await driver.press("tab")
        assert form(driver)._cursor == at + 2, "with nothing to complete, Tab goes on"


async def test_lines_left_out_of_a_paste_are_told(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *PUMP, "note")
        driver.app.screen.query_one(Input).post_message(events.Paste("first\nsecond\n\nthird\n"))
        await driver.settle()
        assert driver.session.plan.circuit["fuel_pump"].note == "first"
        assert "Left out: 2 lines" in driver.said
        await driver.press("end")
        assert driver.said == "", "it is about the key before"


async def test_runs_take_the_place_of_length_and_zone() -> None:
    async with opened(EXAMPLES / "coupe_turbo.toml") as driver:
        stretch = ("circuit", "horn", "wire", 0)
        before = driver.session.plan.circuit["horn"].wire[0]
        assert before.length is not None
        assert before.zone is not None
        driver.app.open_form(stretch[:2])
        await driver.settle()
        await go_to(driver, *stretch, "along")
        run = next(iter(driver.session.plan.run))
        await driver.type(run)
        after = driver.session.plan.circuit["horn"].wire[0]
        assert (after.along, after.length, after.zone) == ((run,), None, None)
        assert "Ctrl+Z brings back" in driver.said
        await driver.press("ctrl+z")
        assert driver.session.plan.circuit["horn"].wire[0] == before


async def test_a_part_left_half_way_is_told_and_found_again(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("v")
        await driver.type("new run")
        await driver.press("enter")
        await driver.type("tunnel")
        await driver.press("enter", "escape")
        assert "there is no run 'tunnel'" in driver.said
        driver.app.open_form(("run", "tunnel"))
        await driver.settle()
        await go_to(driver, "run", "tunnel", "from")
        await driver.type("bulkhead")
        await driver.press("escape")
        assert "missing: to" in driver.said
        assert "tunnel" not in driver.session.plan.run
        await driver.press("v")
        await driver.type("tunnel")
        await driver.press("enter")
        assert form(driver).root == ("run", "tunnel")
        assert form(driver).form.text(("run", "tunnel", "from")) == "bulkhead"


async def test_a_rating_proposed_for_the_surge_says_so() -> None:
    async with opened(EXAMPLES / "track_car.toml") as driver:
        rating = ("circuit", "fan", "fuse", "rating")
        driver.app.open_form(rating[:2])
        await driver.settle()
        assert "load 14.4 A, for inrush 25 A" in driver.seen()
        await go_to(driver, *rating)
        await driver.press("ctrl+u", "down", "up")
        assert driver.session.plan.circuit["fan"].fuse.rating is None
        assert "25 A is proposed, for the inrush current" in driver.seen()


async def test_what_may_stand_is_never_made_longer(car: Path) -> None:
    async with opened(car) as driver:
        contact = ("circuit", "fan", "relay", "contact")
        driver.app.open_form(contact[:2])
        await driver.settle()
        await go_to(driver, *contact)
        assert driver.session.plan.circuit["fan"].relay.contact == "mini_40"
        assert "Enter takes" not in driver.seen()
        await driver.press("tab", "shift+tab", "tab")
        assert driver.session.plan.circuit["fan"].relay.contact == "mini_40"
        await go_to(driver, *contact[:2], "wire", 0, "size")
        await replace(driver, "AWG 1")
        await driver.press("tab")
        assert str(driver.session.plan.circuit["fan"].wire[0].size) == "AWG 1"


async def test_a_new_part_complains_of_what_is_missing_where_it_is_missing(car: Path) -> None:
    async with opened(car) as driver:
        zone = ("zone", "boot")
        driver.app.open_form(zone)
        await driver.settle()
        assert "Missing: ambient" in driver.seen()
        await go_to(driver, *zone, "name")
        await driver.type("Boot")
        assert not form(driver).row.message
        assert "No faults found" not in driver.seen()
        await go_to(driver, *zone, "ambient")
        await driver.type("warm")
        assert form(driver).row.message
        await replace(driver, "45 degC")
        assert driver.session.plan.zone["boot"].name == "Boot"


async def test_a_new_part_is_not_judged_beside_the_form_either(car: Path) -> None:
    async with opened(car, (160, 50)) as driver:
        driver.app.open_form(("zone", "boot"))
        await driver.settle()
        assert "Missing: ambient" in driver.seen()
        assert "No faults found" not in driver.seen()


async def test_delete_the_part_of_the_form(car: Path) -> None:
    async with opened(car) as driver:
        driver.app.open_form(("zone", "cabin"))
        await driver.settle()
        await driver.press("f6", "down", "enter")
        assert "cabin" in driver.session.plan.zone
        assert "cabin" in driver.said
        driver.session.edit("new", lambda: driver.session.document.set(("zone", "attic"), {"ambient": "20 degC"}))
        await driver.press("escape")
        driver.app.open_form(("zone", "attic"))
        await driver.settle()
        await driver.press("f6", "down", "enter")
        assert "attic" not in driver.session.plan.zone
        assert driver.screen_name == "CircuitsScreen"
        await driver.press("u")
        assert "attic" in driver.session.plan.zone


async def test_f12_goes_through_parts_of_any_kind(car: Path) -> None:
    async with opened(car) as driver:
        feeds = list(driver.session.plan.feed)
        driver.app.open_form(("feed", feeds[0]))
        await driver.settle()
        await driver.press("ctrl+n")
        assert form(driver).root == ("feed", feeds[1])


async def test_words_of_a_condition_are_those_the_loads_list(car: Path) -> None:
    async with opened(car) as driver:
        condition = ("condition", "wet_town")
        driver.session.edit("new", lambda: driver.session.document.set(condition, {"state": "running"}))
        driver.app.open_form(condition)
        await driver.settle()
        await go_to(driver, *condition, "when")
        await driver.press("f4")
        seen = driver.seen()
        assert "hot" in seen
        assert "switches on Radiator fan" in seen


async def test_a_part_that_no_check_is_about_does_not_read_as_free_of_faults(car: Path) -> None:
    for size in ((80, 24), (120, 36)):
        async with opened(car, size) as driver:
            driver.app.screen.program.open_form(("zone", "cabin"))  # type: ignore[attr-defined]
            await driver.settle()
            assert size[0] > 100 or "Checked with the parts that use it" in driver.seen()
            assert "No faults found" not in driver.seen()


async def test_where_there_is_no_list_of_choices_it_is_said_what_to_do(car: Path) -> None:
    """F4 on any row opens a dialogue or says what is accepted there, or what the row is for."""
    kinds = set()
    async with opened(car) as driver:
        await driver.press("enter")
        for index, row in enumerate(list(form(driver).query_one(FieldList).rows)):
            form(driver).go_to_row(index)
            await burst(driver, key("f4"))
            if not isinstance(driver.app.screen, FormScreen):
                await burst(driver, key("escape"))
                continue
            kinds.add(row.kind)
            wanted = {"add_part": "Enter adds", "add_item": "Enter adds", "more": "Enter shows", "heading": "F6",
                      "id": "Enter renames", "field": "type it"}[row.kind]
            assert wanted in driver.said or (row.kind == "field" and "any text" in driver.said), (row, driver.said)
    assert kinds >= {"add_part", "add_item", "heading", "id", "field", "more"}


async def test_what_stands_in_a_field_is_replaced_by_typing_and_kept_by_moving_the_cursor(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter")
        await go_to(driver, *CURRENT)
        assert "Typing replaces it, → keeps it" in driver.seen()
        await driver.type("9 A")
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "9 A"
        assert "Typing replaces it" not in driver.seen()
        for move in ("right", "end", "home", "left"):
            await driver.press("down", "up")
            assert "Typing replaces it" in driver.seen()
            await driver.press(move, "end", "backspace")
            await driver.type("A")
            assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "9 A"


@pytest.mark.parametrize("circuit", ["stop_lamps", "boot_lamp", "fans"])
async def test_next_finding_leads_to_all_that_is_wrong_and_all_that_is_asked(tmp_path: Path, circuit: str) -> None:
    """A circuit that is unknown for a question is not told to have no faults: the key leads to where it is answered,
    to what is fixed first, and round again."""
    plan = tmp_path / "car.toml"
    plan.write_bytes((EXAMPLES / "coupe_turbo.toml").read_bytes())
    async with opened(plan) as driver:
        root = ("circuit", circuit)
        driver.app.open_form(root)
        await driver.settle()
        assessment = driver.session.assessment
        stops = [*assessment.findings_for(*root), *assessment.not_said_of(*root)]
        assert assessment.not_said_of(*root) or circuit == "fans"
        for each in (*stops, stops[0]):
            await driver.press("f3")
            owner, path = field_of(driver.session, each)
            assert form(driver).root == owner
            assert form(driver).row.path in (path, path[:-1]), each
            if owner != root:
                await driver.press("escape")


async def test_what_is_answered_is_not_led_to_again(tmp_path: Path) -> None:
    plan = tmp_path / "car.toml"
    plan.write_bytes((EXAMPLES / "coupe_turbo.toml").read_bytes())
    async with opened(plan) as driver:
        driver.app.open_form(("circuit", "stop_lamps"))
        await driver.press("f3")
        assert form(driver).row.path == ("circuit", "stop_lamps", "switch", "rating")
        assert "Not said: the rating of its switch" in driver.said
        await driver.type("20 A")
        await driver.press("enter")
        assert driver.session.assessment.not_said_of("circuit", "stop_lamps") == ()
        await driver.press("f3")
        assert "nothing is asked about it" in driver.said


async def test_the_circuits_lead_to_what_is_asked_where_no_fault_is_found(tmp_path: Path) -> None:
    plan = tmp_path / "car.toml"
    plan.write_bytes((EXAMPLES / "coupe_turbo.toml").read_bytes())
    async with opened(plan) as driver:
        await driver.press("1")
        driver.app.screen.show_new("stop_lamps")
        await driver.press("g")
        assert form(driver).row.path == ("circuit", "stop_lamps", "switch", "rating")


async def test_what_is_missing_is_led_to(car: Path) -> None:
    """In a circuit only just named the key for the next finding goes to what is entered first."""
    async with opened(car) as driver:
        await driver.press("A")
        await driver.type("Work lamp")
        await driver.press("enter", "f3")
        assert form(driver).row.path == ("circuit", "work_lamp", "feed")
