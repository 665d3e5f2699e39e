"""How the parts of a screen or a dialogue share a window that is too low for all of them."""

from __future__ import annotations

from textual.geometry import Region, Size
from textual.layout import ArrangeResult, WidgetPlacement
from textual.layouts.vertical import VerticalLayout
from textual.widget import Widget

LOW = 18
"""In a window of fewer lines every screen and dialogue has the class ``-low``."""
LEAST_LIST = 4
"""Lines that the part with the cursor keeps as long as any other part has a line left."""
LIST = "list"
"""Class of the part of a dialogue with the cursor; on a screen it is the part that takes what room is left."""


class GivingWay(VerticalLayout):
    """Parts one below the other, never past the end of the window.

    Where there is no room for all, the tallest part gives up a line, of two alike the lower one, until all fit. The
    part with the cursor keeps `LEAST_LIST` lines, every other one line; if that is still too much, the others go, what
    takes no keys first. What has a least height keeps it all the same.
    """

    def arrange(self, parent: Widget, children: list[Widget], size: Size, greedy: bool = True) -> ArrangeResult:
        placed = super().arrange(parent, children, size, greedy)
        # Without a height the question is how high the parts would like to be.
        return fitted(placed, size.height) if size.height > 0 else placed


def fitted(placed: list[WidgetPlacement], room: int) -> list[WidgetPlacement]:
    """The parts with as many lines as there are in a window of `room` lines."""
    flow = [at for at, each in enumerate(placed) if not (each.overlay or each.absolute)]
    heights = {at: placed[at].region.height for at in flow}
    lists = {at for at in flow if _has_cursor(placed[at].widget)}
    for at in lists:
        if _is_fraction(placed[at].widget):
            heights[at] = max(heights[at], min(LEAST_LIST, room))
    last = placed[flow[-1]] if flow else None
    gaps = 0 if last is None else last.region.bottom + last.margin.bottom - sum(placed[at].region.height for at in flow)
    over = sum(heights.values()) + gaps - room
    for of_list, of_others in ((LEAST_LIST, 1), (LEAST_LIST, 0), (0, 0)):
        while over > 0:
            higher = [at for at in flow if heights[at] > max(_least(placed[at].widget),
                                                             of_list if at in lists else of_others)]
            if not higher:
                break
            most = max(heights[at] for at in higher)
            heights[max(higher, key=lambda at: (heights[at] == most, not placed[at].widget.can_focus, at))] -= 1
            over -= 1
    found, down = list(placed), 0
    for at in flow:
        x, y, width, height = placed[at].region
        found[at] = placed[at]._replace(region=Region(x, y + down, width, heights[at]))
        down += heights[at] - height
    return found


def _is_fraction(part: Widget) -> bool:
    height = part.styles.height
    return height is not None and height.is_fraction


def _least(part: Widget) -> int:
    height = part.styles.min_height
    return 0 if height is None else height.cells or 0


def _has_cursor(part: Widget) -> bool:
    return part.has_class(LIST) or _is_fraction(part)
