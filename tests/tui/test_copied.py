"""What is copied from the screens is what the spelled-out plan would give: nothing of a hostile plan acts where it is
pasted."""

from __future__ import annotations

import sys
from pathlib import Path

from fuseplan.papers.harmless import shown

from .conftest import opened

sys.path.insert(0, str(Path(__file__).parents[1]))
from hostile import hostile, plan_data, toml

COPYING = ("3", "4", "7", "8", "9")


async def test_copied_text_holds_nothing_that_acts(tmp_path: Path) -> None:
    copied: dict[bool, list[str]] = {}
    for spelled in (False, True):
        plan = tmp_path / f"{spelled}.toml"
        plan.write_text(toml(plan_data(lambda number, spelled=spelled: shown(hostile(number)) if spelled
                                       else hostile(number))), encoding="utf-8")
        copied[spelled] = []
        async with opened(plan, (120, 40)) as driver:
            for key in COPYING:
                await driver.press(key, "y")
                copied[spelled].append(driver.app.clipboard)
    assert len(set(copied[True])) == len(COPYING), "each screen gave a text of its own"
    for one, other in zip(copied[False], copied[True], strict=True):
        assert one.splitlines() == other.splitlines()
    assert all(line.isprintable() for text in copied[False] for line in text.splitlines())
    assert any("\\u202e" in text for text in copied[False])


async def test_a_text_that_acts_is_not_copied_as_it_is(car: Path) -> None:
    async with opened(car) as driver:
        driver.app.copy_to_clipboard("a\x1b[31m\u202eb\nc")
        assert driver.app.clipboard == "a\\x1b[31m\\u202eb\nc"


