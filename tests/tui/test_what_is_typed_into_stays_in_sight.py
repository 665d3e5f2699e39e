"""The row one types into, with what is said below it, is in sight, also where the form has only just grown past its
window."""

from __future__ import annotations

from fuseplan.tui.widgets.field_list import FieldList

from .bursts import burst, keys
from .conftest import opened
from .test_bursts import PLACES, go, small_car


async def test_a_row_comes_into_view_before_the_scrollbar_that_comes_with_it() -> None:
    async with opened(small_car()) as driver:
        await go(driver, PLACES["feeds"])
        await burst(driver, *keys("enter"))
        fields = driver.app.screen.query_one(FieldList)
        assert not fields.show_vertical_scrollbar
        rows = fields.rows * 3
        fields.show(rows, len(rows) - 1)
        # At once, as while letters arrive fast: nothing was laid out since.
        fields.bring_into_view(len(rows) - 1)
        height = fields.scrollable_content_region.height
        assert fields.scroll_offset.y == fields.line_of(len(rows) - 1) + 1 - height > 0
