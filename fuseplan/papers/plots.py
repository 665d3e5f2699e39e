"""Pictures of curves: series, bands and markers on linear or logarithmic axes; as text here, as SVG in `svg`.

One description serves both. Nothing rests on colour: series differ by their sign in text, by their dashes in SVG, and
each is named.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Sequence
from typing import Any, Literal

from fuseplan.papers.harmless import shown, width
from fuseplan.papers.paragraphs import paragraph, wrap
from fuseplan.quantities import writing
from fuseplan.records import dataclass

Axis = Literal["linear", "log"]
Points = Sequence[float]
Point = tuple[float, float]
Ranges = tuple[tuple[float, float], tuple[float, float]]

SIGNS = "•×+o*#"
"""Sign of each series in text, in their order."""
MOST_POINTS = 400


@dataclass(frozen=True)
class Series:
    """A curve; points that are not finite, or not above 0 on a logarithmic axis, are left out."""

    name: str
    x: Points
    y: Points
    sign: str = ""
    """In text; else the next of `SIGNS`."""


@dataclass(frozen=True)
class Band:
    """The area between two curves over the same places."""

    name: str
    x: Points
    low: Points
    high: Points
    sign: str = ":"
    """In text."""


@dataclass(frozen=True)
class Marker:
    """A straight line across the picture at one place on one axis."""

    name: str
    at: float
    axis: Literal["x", "y"]
    sign: str = ""
    """In text; else a line."""


@dataclass(frozen=True)
class Curve:
    """What is drawn with one sign: a series, both edges of a band, or a marker.

    Attributes:
        lines: the points of each of its lines that lie within the picture
    """

    name: str
    sign: str
    lines: tuple[list[Point], ...]


_ONE_AT_A_TIME = threading.Lock()


@dataclass(frozen=True)
class Picture:
    """One picture with its words."""

    title: str
    x_label: str
    y_label: str
    series: tuple[Series, ...] = ()
    bands: tuple[Band, ...] = ()
    markers: tuple[Marker, ...] = ()
    x_axis: Axis = "linear"
    y_axis: Axis = "linear"
    x_range: tuple[float, float] | None = None
    y_range: tuple[float, float] | None = None
    words: tuple[str, ...] = ()
    """Sentences under the picture."""

    def shows(self, x: float, y: float) -> bool:
        """Whether a point can be drawn on these axes."""
        return math.isfinite(x) and math.isfinite(y) and (self.x_axis == "linear" or x > 0) \
            and (self.y_axis == "linear" or y > 0)

    def kept(self, x: Points, y: Points) -> list[Point]:
        """The points of a curve that can be drawn."""
        return [(float(a), float(b)) for a, b in zip(x, y, strict=True) if self.shows(float(a), float(b))]

    def ranges(self) -> Ranges:
        """Range of each axis: as asked for, else from all that is drawn, 0 included on a linear y axis."""
        points = [point for each in self.series for point in self.kept(each.x, each.y)]
        for band in self.bands:
            points += self.kept(band.x, band.low) + self.kept(band.x, band.high)
        across = [x for x, _ in points] + [marker.at for marker in self.markers if marker.axis == "x"]
        up = [y for _, y in points] + [marker.at for marker in self.markers if marker.axis == "y"]
        return (self.x_range or _span(across, self.x_axis, False), self.y_range or _span(up, self.y_axis, True))


def signed_curves(picture: Picture) -> list[Curve]:
    """Everything a picture draws, each with its sign; a marker outside the picture is left out."""
    ranges = picture.ranges()
    (x_low, x_high), (y_low, y_high) = ranges
    found = [Curve(band.name, band.sign, tuple(_within(picture.kept(band.x, side), ranges)
                                               for side in (band.low, band.high))) for band in picture.bands]
    found += [Curve(series.name, series.sign or SIGNS[number % len(SIGNS)],
                    (_within(picture.kept(series.x, series.y), ranges),))
              for number, series in enumerate(picture.series)]
    for marker in picture.markers:
        upright = marker.axis == "x"
        low, high = ranges[0 if upright else 1]
        if low <= marker.at <= high:
            ends = [(marker.at, y_low), (marker.at, y_high)] if upright else [(x_low, marker.at), (x_high, marker.at)]
            found.append(Curve(marker.name, marker.sign or ("│" if upright else "─"), (ends,)))
    return [Curve(each.name, each.sign, tuple(points for points in each.lines if points)) for each in found]


def _within(points: list[Point], ranges: Ranges) -> list[Point]:
    """The points inside the picture, no more than can be seen; what lies outside is cut off, so that no line is drawn
    along its edge."""
    (x_low, x_high), (y_low, y_high) = ranges
    inside = [(x, y) for x, y in points if x_low <= x <= x_high and y_low <= y <= y_high]
    return [*inside[::max(1, len(inside) // MOST_POINTS)], inside[-1]] if inside else []


def _span(values: Sequence[float], axis: Axis, from_zero: bool) -> tuple[float, float]:
    kept = [value for value in values if math.isfinite(value) and (axis == "linear" or value > 0)]
    if not kept:
        return (1.0, 10.0) if axis == "log" else (0.0, 1.0)
    low, high = min(kept), max(kept)
    if axis == "log":
        high = max(high, low * 1.001)
        return 10.0 ** math.floor(math.log10(low)), 10.0 ** math.ceil(math.log10(high) - 1e-9)
    if from_zero:
        low, high = min(low, 0.0), high + 0.05 * (high - min(low, 0.0))
    return (low, high) if high > low else (low, low + 1.0)


def text_plot(picture: Picture, columns: int = 76, rows: int = 20) -> list[str]:
    """The picture as lines of plain text, its title above, names and words below."""
    with _ONE_AT_A_TIME:
        drawn, names = _drawn(picture, columns, rows)
    lines = [line.rstrip() for line in drawn.splitlines() if line.strip()]
    return [shown(picture.title), f"{shown(picture.y_label)} over {shown(picture.x_label)}", *lines,
            *_packed(names, columns), *(line for word in picture.words for line in wrap(shown(word), columns))]


def _drawn(picture: Picture, columns: int, rows: int) -> tuple[str, list[str]]:
    """The curves and axes as text, and the names of what is drawn. One at a time: plotext has one figure."""
    import plotext  # type: ignore[import-untyped]  # ships no types

    ranges = picture.ranges()
    figure = plotext.figure
    figure.clear()
    figure.plot_size(max(columns, 30), max(rows, 8))
    curves = signed_curves(picture)
    for curve in curves:
        for points in curve.lines:
            _draw(figure, picture, points, curve.sign, ranges)
    for axis, scale, (low, high) in (("x", picture.x_axis, ranges[0]), ("y", picture.y_axis, ranges[1])):
        ruler, places = figure.ruler(axis), ticks(low, high, scale)
        ruler.lim(0.0, 1.0)
        ruler.ticks([share_of(place, low, high, scale) for place in places], list(map(writing.stated, places)))
    drawn = plotext.uncolorize(str(figure.build()))
    figure.clear()
    return drawn, [f"{curve.sign} {shown(curve.name)}" for curve in curves]


def _packed(names: list[str], columns: int) -> list[str]:
    """Names beside one another as far as they fit; a long one is folded."""
    lines: list[str] = []
    for name in names:
        folded = paragraph(name, columns, "", "  ")
        if lines and len(folded) == 1 and width(lines[-1]) + 3 + width(name) <= columns:
            lines[-1] += f"   {name}"
        else:
            lines += folded
    return lines


def _draw(figure: Any, picture: Picture, points: list[Point], sign: str, ranges: Ranges) -> None:
    """One curve as shares of the axes, so that both kinds of axis are drawn alike."""
    signal = figure.signal([share_of(x, *ranges[0], picture.x_axis) for x, _ in points],
                           [share_of(y, *ranges[1], picture.y_axis) for _, y in points], marker=sign)
    signal.lines()
    figure.draw(signal)


def ticks(low: float, high: float, axis: Axis) -> list[float]:
    """Places of the grid lines: round numbers on a linear axis; decades on a logarithmic one, with 2 and 5 between
    them where it spans no more than four."""
    if axis == "log":
        steps = (1.0, 2.0, 5.0) if high <= low * 1.0001e4 else (1.0,)
        places = [step * 10.0**power for power in range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
                  for step in steps]
        return [place for place in places if low * (1 - 1e-9) <= place <= high * (1 + 1e-9)]
    rough = (high - low) / 6.0
    unit = 10.0 ** math.floor(math.log10(rough))
    step = next(unit * times for times in (1.0, 2.0, 5.0, 10.0) if unit * times >= rough - 1e-12)
    first = math.ceil(low / step - 1e-9)
    return [number * step for number in range(first, math.floor(high / step + 1e-9) + 1)]


def share_of(value: float, low: float, high: float, axis: Axis) -> float:
    """Place of a value on an axis, 0 at its low end and 1 at its high end."""
    if axis == "log":
        value, low, high = (math.log10(max(each, 1e-300)) for each in (value, low, high))
    return min(max((value - low) / (high - low), 0.0), 1.0)
