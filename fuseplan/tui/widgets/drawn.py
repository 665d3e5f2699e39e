"""A picture of curves on a screen: lines as fine as the terminal can, and each curve's sign again and again along it,
so that colour alone never says which is which."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from textual import on
from textual.app import ComposeResult, RenderResult
from textual.containers import Grid, Vertical
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Static
from textual_hires_canvas import Canvas, HiResMode
from textual_plot import PlotWidget
from textual_plot.axis_formatter import AxisFormatter
from textual_plot.plot_widget import Legend

from fuseplan.papers.plots import Picture, Ranges, share_of, signed_curves, ticks
from fuseplan.quantities import writing
from fuseplan.tui.words import QUIET_STYLE, line, lines

LEFT = 8
"""Columns left of the picture, for the figures on its upright axis."""
SIGN_EVERY = 8
"""Columns between the signs along a curve, on average."""
AGAIN_S = 0.1
"""Until it is looked again whether a picture is drawn."""
BRAILLE = ("\u2801", "\u28ff")
"""First and last sign a fine line is made of."""
STRAIGHT = 60
"""Points of a straight line."""


class _Words(AxisFormatter):
    """The figures of an axis whose places are shares of it."""

    def __init__(self, words: dict[float, str]) -> None:
        self._words = words

    def get_ticks(self, min_: float, max_: float, max_ticks: int = 8) -> list[float]:
        return list(self._words)

    def get_labels_for_ticks(self, ticks: Sequence[float]) -> list[str]:
        return [self._words[each] for each in ticks]


class Curves(PlotWidget):
    """The curves of a picture, neither moved nor enlarged: the wheel scrolls the screen they stand on."""

    class Standing(Message):
        """The curves stand on the canvas."""

    can_focus = False
    margin_top = reactive(0)
    margin_bottom = reactive(1)
    margin_left = reactive(LEFT)
    DEFAULT_CSS = """
    Curves { height: 15; }
    Curves > .plot--axis { color: $foreground 50%; }
    Curves > .plot--tick { color: $foreground; text-style: none; }
    """

    def __init__(self, picture: Picture, colours: Sequence[str]) -> None:
        super().__init__(allow_pan_and_zoom=False)
        self._picture, self._colours = picture, colours
        self._is_emptied = False

    def on_mount(self) -> None:
        # The base empties itself when it is mounted, after this: what is drawn before is lost.
        self.call_later(self._emptied)
        self._looking = self.set_interval(AGAIN_S, self._look)

    def _look(self) -> None:
        """Draw again until the curves stand on the canvas: its parts get their places one after the other, and what is
        drawn before the last has one is lost without a word."""
        if self._stands:
            self._looking.stop()
            self.post_message(self.Standing())
        else:
            self._draw()

    @property
    def _stands(self) -> bool:
        canvas = self.query("#plot")
        return not signed_curves(self._picture) or (bool(canvas) and any(
            BRAILLE[0] <= cell <= BRAILLE[1] for row in canvas.first(Canvas)._buffer for cell in row))

    def _emptied(self) -> None:
        self._is_emptied = True
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def render(self) -> RenderResult:
        """As the base does it; one taken off the screen loses its parts little by little, and draws nothing."""
        return super().render() if self._is_whole else ""

    def _update_margin_sizes(self) -> None:
        if self._is_whole:
            super()._update_margin_sizes()

    def _update_legend(self) -> None:
        if self._is_whole:
            super()._update_legend()

    @property
    def _is_whole(self) -> bool:
        """Whether all its parts are there: four areas to draw on, and what they stand in."""
        return len(self.query(Canvas)) == 4 and bool(self.query(Grid)) and bool(self.query(Legend))

    def _draw(self) -> None:
        """Draw the picture, once there is room: how far apart the signs stand depends on it."""
        columns = self.size.width - LEFT
        if columns <= 0 or not self._is_emptied or not self._is_whole:
            return
        picture, ranges = self._picture, self._picture.ranges()
        self.clear()
        self.set_xlimits(0.0, 1.0)
        self.set_ylimits(0.0, 1.0)
        across, up = ({share_of(place, *limits, scale): writing.stated(place) for place in ticks(*limits, scale)}
                      for limits, scale in zip(ranges, (picture.x_axis, picture.y_axis), strict=True))
        self.set_x_formatter(_Words(across))
        self.set_y_formatter(_Words(up))
        self.set_xticks(list(across))
        self.set_yticks(list(up))
        curves = [(number, curve.sign, _shares(picture, points, ranges))
                  for number, curve in enumerate(signed_curves(picture)) for points in curve.lines]
        for number, _, (x, y) in curves:
            self.plot(x, y, _of(self._colours, number), HiResMode.BRAILLE)
        for number, sign, (x, y) in curves:
            places = _along(x, y, columns, number)
            self.scatter(x[places], y[places], sign, f"bold {_of(self._colours, number)}")


class Drawn(Vertical):
    """A picture with its title, what its signs stand for, and its words; until its curves are there, which takes a
    second on a busy machine, it says so: axes alone would say that there is no curve."""

    DEFAULT_CSS = """
    Drawn { height: auto; margin: 0 0 1 0; }
    Drawn > Static { height: auto; }
    """

    def __init__(self, picture: Picture, colours: Sequence[str]) -> None:
        super().__init__()
        self._picture, self._colours = picture, colours

    def compose(self) -> ComposeResult:
        yield Static(self._title("   Drawing the curves …"), id="title", markup=False)
        yield Curves(self._picture, self._colours)
        yield Static(self._legend(), markup=False)

    @on(Curves.Standing)
    def _curves_stand(self) -> None:
        self.query_one("#title", Static).update(self._title(""))

    def _title(self, note: str) -> Content:
        picture = self._picture
        return line((picture.title, "bold $text-accent"), note,
                    (f"   {picture.y_label}, over {picture.x_label}", QUIET_STYLE))

    def _legend(self) -> Content:
        parts: list[str | tuple[str, str]] = []
        for number, curve in enumerate(signed_curves(self._picture)):
            if curve.name:
                parts += ["   " if parts else "", (curve.sign, f"bold {_of(self._colours, number)}"), f" {curve.name}"]
        return lines(line(*parts), *(line((words, QUIET_STYLE)) for words in self._picture.words))


def _of(colours: Sequence[str], number: int) -> str:
    """Colour of a curve; where there are more curves than colours they come round again."""
    return colours[number % len(colours)]


def _shares(picture: Picture, points: Sequence[tuple[float, float]], ranges: Ranges) -> tuple[np.ndarray, np.ndarray]:
    """The points of a curve as shares of both axes."""
    (x_low, x_high), (y_low, y_high) = ranges
    across = np.array([share_of(x, x_low, x_high, picture.x_axis) for x, _ in points])
    up = np.array([share_of(y, y_low, y_high, picture.y_axis) for _, y in points])
    if len(points) == 2:
        # A straight line from edge to edge has places for its sign in between.
        across, up = np.linspace(across[0], across[1], STRAIGHT), np.linspace(up[0], up[1], STRAIGHT)
    return across, up


def _along(x: np.ndarray, y: np.ndarray, columns: int, shift: int) -> list[int]:
    """Which points of a curve bear its sign: not all curves' at the same height."""
    if len(x) == 0:
        return []
    # A row is about twice as high as a column is wide.
    way = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x) * columns, np.diff(y) * columns / 2.0))])
    wanted = np.arange((1 + shift % 3) * SIGN_EVERY / 3.0, way[-1], SIGN_EVERY)
    return sorted(set(np.searchsorted(way, wanted).tolist())) if len(wanted) else [len(x) // 2]
