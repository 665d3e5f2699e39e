"""A dark and a light theme of plain colours; what a colour says is always said in words as well."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.color import BLACK, WHITE, Color
from textual.filter import LineFilter, Monochrome
from textual.theme import Theme

DARK = Theme(
    name="fuseplan-dark", dark=True, primary="#6f9fc8", secondary="#5a7d9a", accent="#d8b25c", warning="#e3b341",
    error="#ff7b6b", success="#7ec98f", foreground="#e8e6e1", background="#15171a", surface="#1b1e22", panel="#2a2f36",
)
LIGHT = Theme(
    name="fuseplan-light", dark=False, primary="#1d5a91", secondary="#4a6b88", accent="#7a5200", warning="#8a5a00",
    error="#a81f16", success="#1c6a35", foreground="#1a1a1a", background="#f4f2ec", surface="#fdfcf8", panel="#dfdbd0",
)


def _sixteen(name: str, dark: bool, plain: dict[str, str], cursor: dict[str, str]) -> Theme:
    """A theme of the sixteen colours alone. Given as they are, none is mixed into one the terminal has not."""
    said = {f"text-{word}": plain[word] for word in ("error", "success", "warning", "accent", "primary")}
    return Theme(name=name, dark=dark, variables={**said, **cursor}, **plain)  # type: ignore[arg-type]  # names of colours


SIXTEEN_DARK = _sixteen("fuseplan-16-dark", True, {
    "primary": "#55ffff", "secondary": "#aaaaaa", "accent": "#ffff55", "warning": "#ffff55", "error": "#ff5555",
    "success": "#55ff55", "foreground": "#ffffff", "background": "#000000", "surface": "#000000", "panel": "#0000aa",
}, {"block-cursor-background": "#555555", "block-cursor-foreground": "#ffffff"})
SIXTEEN_LIGHT = _sixteen("fuseplan-16-light", False, {
    "primary": "#0000aa", "secondary": "#555555", "accent": "#0000aa", "warning": "#aa00aa", "error": "#aa0000",
    "success": "#000000", "foreground": "#000000", "background": "#ffffff", "surface": "#ffffff", "panel": "#ffffff",
}, {"block-cursor-background": "#aaaaaa", "block-cursor-foreground": "#000000"})
THEMES = (DARK, LIGHT, SIXTEEN_DARK, SIXTEEN_LIGHT)


def dark_and_light(colours: str | None) -> tuple[Theme, Theme]:
    """The two themes for what a terminal can show; "standard" is what a terminal of 16 colours is called."""
    return (SIXTEEN_DARK, SIXTEEN_LIGHT) if colours == "standard" else (DARK, LIGHT)


def curve_colours(theme: Theme) -> list[str]:
    """Colours of curves in a picture, in their order; the signs along them tell them apart as well."""
    named = (theme.primary, theme.accent, theme.success, theme.error, theme.warning, theme.secondary)
    return [str(each or theme.foreground) for each in named]


class Colourless(Monochrome):
    """Takes the colours out as Textual does, also from text without any style: a curve's area without a size, and every
    line left blank, has such.

    Of sixteen colours two greys that were two colours are often one, and a warning is there no more: all text is black
    or white then, by what is behind it.
    """

    def __init__(self, *, sixteen: bool) -> None:
        super().__init__()
        self._sixteen = sixteen

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        found = super().apply([Segment(text, style or Style.null(), control) for text, style, control in segments],
                              background)
        if not self._sixteen:
            return found
        return [Segment(text, _black_or_white(style) if style is not None and text.strip() else style)
                for text, style, _ in found]


@lru_cache(maxsize=1000)
def _black_or_white(style: Style) -> Style:
    """A style with its text black or white. What is drawn the other way round, as a scroll bar is, stays."""
    if style.reverse or style.bgcolor is None:
        return style
    is_dark = Color.from_rich_color(style.bgcolor).brightness < _HALF
    return style + Style.from_color((WHITE if is_dark else BLACK).rich_color)


_HALF = 0.52
"""Brightness below which white is read better: brighter than the darker of the two greys among the sixteen."""


def taking_all(filters: Iterable[LineFilter], colours: str | None) -> list[LineFilter]:
    """Textual's filters, with one in the place of that for NO_COLOR that takes text without a style; `colours` as in
    `dark_and_light`."""
    return [Colourless(sixteen=colours == "standard") if type(each) is Monochrome else each for each in filters]
