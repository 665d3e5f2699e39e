"""With NO_COLOR on a terminal of sixteen colours no text has the colour of what is behind it."""

from __future__ import annotations

from itertools import product

import pytest
from rich.color import ColorSystem
from rich.segment import Segment
from rich.style import Style
from textual.color import Color

from fuseplan.tui import theme

GREYS = [Color(level, level, level) for level in range(0, 256, 15)]


@pytest.mark.parametrize("each", [theme.SIXTEEN_DARK, theme.SIXTEEN_LIGHT], ids=lambda each: str(each.name))
def test_text_never_has_the_colour_behind_it(each: theme.Theme) -> None:
    named = [Color.parse(word) for word in (each.primary, each.secondary, each.accent, each.warning, each.error,
                                            each.success, each.foreground, each.background, each.panel) if word]
    found = theme.Colourless(sixteen=True).apply(
        [Segment("DO NOT POWER UP", Style.from_color(text.rich_color, behind.rich_color))
         for text, behind in product([*named, *GREYS], [*named, *GREYS])], Color.parse("black"))
    assert len(found) > 500
    for segment in found:
        style = segment.style
        assert style is not None
        assert style.color is not None
        assert style.bgcolor is not None
        text, behind = (one.downgrade(ColorSystem.STANDARD).number for one in (style.color, style.bgcolor))
        assert text in (0, 15)
        assert text != behind


def test_a_scroll_bar_keeps_its_two_greys() -> None:
    bar = Segment(" ", Style.from_color(GREYS[6].rich_color, GREYS[0].rich_color) + Style(reverse=True))
    assert theme.Colourless(sixteen=True).apply([bar], Color.parse("black"))[0].style == bar.style
