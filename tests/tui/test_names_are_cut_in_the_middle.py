"""A name without room keeps both its ends: left and right, front and rear stand at the end of it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

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
