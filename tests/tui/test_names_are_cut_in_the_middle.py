"""A name without room keeps both its ends: left and right, front and rear stand at the end of it."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.widgets import OptionList

from fuseplan.planfile.library import library
from fuseplan.tui.words import shortened
from fuseplan.workspace.session import Session

from .conftest import opened


@given(st.text(st.characters(categories=["L", "N"]), max_size=60), st.integers(0, 40))
def test_a_name_is_whole_or_fits_with_its_first_and_last_letter(name: str, width: int) -> None:
    text = shortened(name, width)
    assert cell_len(text) <= width or text == name
    if text == name:
        return
    assert text.count("…") == (width > 0)
    if width >= 12:
        assert text[0] == name[0]
        assert text[-1] == name[-1]


async def test_circuits_that_differ_only_at_their_ends_do_not_look_alike() -> None:
    names = {f"{side}_{end}": f"Side and tail lamps of the trailer, {side} {end}"
             for side in ("left", "right") for end in ("one", "two")}
    text = "fuseplan = 1\n" + "".join(f'[circuit.{key}]\nname = "{name}"\n' for key, name in names.items())
    for width in (60, 80):
        async with opened(Session.of_text(text), (width, 24)) as driver:
            rows = [line for line in driver.seen().splitlines() if "Side a" in line and "unfused" in line]
            assert len({row.split("  ")[0] for row in rows}) == 4


async def test_titles_of_the_library_keep_both_ends_in_every_window(car: Path) -> None:
    titles = {each.title for each in library().definitions.values()}
    async with opened(car, (80, 24)) as driver:
        await driver.press("a")
        await driver.type("fan")
        for size in ((80, 24), (40, 12), (120, 36)):
            await driver.resize(*size)
            listed = driver.app.screen.query_one(OptionList)
            shown = [str(listed.get_option_at_index(at).prompt).strip() for at in range(listed.option_count)]
            assert len(shown) > 5
            for text in shown:
                assert cell_len(text) + 2 <= listed.size.width
                head, _, tail = text.partition("…")
                assert any(each.startswith(head) and each.endswith(tail) for each in titles), text
            assert len(set(shown)) > len(shown) // 2


async def test_a_long_name_of_a_feed_hides_no_fault() -> None:
    name = "Permanent bus behind the glove box, with the heated seats and all that was added later, {} side"
    text = "fuseplan = 1\n[feed.post]\n" + "".join(
        f'[feed.{side}]\nname = "{name.format(side)}"\nfrom = "post"\n'
        'fuse = { kind = "maxi", rating = "60 A", distance = "900 mm" }\n'
        'wire = [{ size = "1 mm2", length = "1.5 m" }]\n' for side in ("left", "right"))
    for width in (60, 80, 120):
        async with opened(Session.of_text(text), (width, 24)) as driver:
            await driver.press("2")
            rows = [row for row in driver.seen().splitlines() if "Perm" in row]
            assert len(rows) >= 2
            for row, side in zip(rows, ("left", "right"), strict=False):
                assert "DANGER" in row
                assert f"{side} side"[-4:] in row
