"""A plan without feeds, earth points or zones: what a circuit needs is said together and added in one step."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import opened


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """A plan that says nothing."""
    file = tmp_path / "empty.toml"
    file.write_text("fuseplan = 1\n", encoding="utf-8")
    return file


async def test_a_circuit_of_the_library_brings_what_it_needs_in_one_question(empty: Path) -> None:
    async with opened(empty) as driver:
        await driver.press("a")
        await driver.type("horns")
        await driver.press("enter")
        lacking = driver.read()
        for words in ("Needed: feed 'main_bus'", "earth point '", "zone '", "Example figures"):
            assert words in lacking
        await driver.press("enter")
        plan = driver.session.plan
        assert plan.circuit
        assert {each.feed for each in plan.circuit.values()} <= plan.feed.keys()
        await driver.press("ctrl+z")
        assert driver.session.document.text == "fuseplan = 1\n"


async def test_parts_of_the_plan_are_offered_beside_the_usual_ones(empty: Path) -> None:
    empty.write_text('fuseplan = 1\n[feed.plus]\n[feed.other]\nfrom = "plus"\n[earth.minus]\n', encoding="utf-8")
    async with opened(empty) as driver:
        await driver.press("a")
        await driver.type("horns")
        await driver.press("enter")
        assert "use parts of this plan" in driver.seen()
        await driver.press("down", "enter")
        assert "Which feed instead of 'main_bus'?" in driver.seen()
        await driver.press("down", "enter")
        for _ in range(6):
            if "instead of" in driver.seen():
                await driver.press("enter")
        assert "instead of" not in driver.seen()
        plan = driver.session.plan
        assert [each.feed for each in plan.circuit.values()] == ["other"] * len(plan.circuit) != []
        assert plan.feed.keys() == {"plus", "other"}
        assert plan.zone, "zones, of which the plan has none to choose, are added"


@pytest.mark.parametrize("keys", [("s", "down", "enter"), ("v", "enter")], ids=["first page", "list of parts"])
async def test_the_usual_parts_are_one_enter_away(empty: Path, keys: tuple[str, ...]) -> None:
    async with opened(empty) as driver:
        await driver.press(*keys)
        assert "main_bus" in driver.session.plan.feed
        assert "Added" in driver.said
        await driver.press("v")
        assert "the usual feeds" not in driver.seen()


async def test_a_field_that_names_a_feed_offers_the_usual_ones_where_there_is_none(empty: Path) -> None:
    async with opened(empty) as driver:
        await driver.press("A")
        await driver.type("Lamp")
        await driver.press("enter", "down", "enter")
        assert "The plan has no feed yet" in driver.read()
        await driver.press("down", "enter")
        plan = driver.session.plan
        assert plan.circuit["lamp"].feed == "main_bus"
        assert plan.feed["main_bus"].upstream == "battery_post"
