"""Every part of a screen has the looks that the style sheets give it from when the screen is opened on."""

from __future__ import annotations

from typing import Any

import pytest
from textual.screen import Screen

from .bursts import burst, keys
from .conftest import opened
from .test_bursts import PLACES, go, small_car


def looks(screen: Screen[Any]) -> dict[str, object]:
    """The rules that hold for every part of a screen."""
    return {f"{number} {part} {name}": dict(styles.base.get_rules())
            for number, part in enumerate(screen.walk_children(with_self=True))
            for name, styles in (("", part.styles), *part._component_styles.items())}


@pytest.mark.share
async def test_a_screen_opened_looks_as_one_whose_looks_are_all_worked_out(in_full: bool) -> None:
    found = 0
    async with opened(small_car()) as driver:
        driver.app.leave = lambda: None  # type: ignore[method-assign]  # only leaving would end it
        for place in list(PLACES) if in_full else ("circuits", "form", "library", "sort"):
            await go(driver, PLACES[place])
            await driver.settle()
            before = {screen: looks(screen) for screen in driver.app.screen_stack}
            for screen, shown in before.items():
                driver.app.stylesheet.update(screen)
                now = looks(screen)
                assert shown.keys() == now.keys(), place
                for part, rules in shown.items():
                    assert rules == now[part], (place, part)
                    found += 1
            await burst(driver, *keys("escape") * (len(driver.app.screen_stack) + 3))
    assert found > 50
