"""Pictures of curves: series, bands and markers on linear or logarithmic axes, as text and as SVG.

One description serves both. Nothing rests on colour: series differ by their sign in text, by their dashes in SVG, and
each is named.
"""

from __future__ import annotations

import math
import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from fuseplan.errors import StoreError
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.paragraphs import paragraph, wrap

Axis = Literal["linear", "log"]
Points = Sequence[float]
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

    def kept(self, x: Points, y: Points) -> list[tuple[float, float]]:
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
    import plotext  # type: ignore[import-untyped]  # ships no types

    ranges = picture.ranges()
    (x_low, x_high), (y_low, y_high) = ranges
    figure = plotext.figure
    figure.clear()
    figure.plot_size(max(columns, 30), max(rows, 8))
    names: list[str] = []
    for band in picture.bands:
        for side in (band.low, band.high):
            _draw(figure, picture, picture.kept(band.x, side), band.sign, ranges)
        names.append(f"{band.sign} {shown(band.name)}")
    for number, series in enumerate(picture.series):
        sign = series.sign or SIGNS[number % len(SIGNS)]
        _draw(figure, picture, picture.kept(series.x, series.y), sign, ranges)
        names.append(f"{sign} {shown(series.name)}")
    for marker in picture.markers:
        upright = marker.axis == "x"
        low, high = ranges[0 if upright else 1]
        if low <= marker.at <= high:
            ends = [(marker.at, y_low), (marker.at, y_high)] if upright else [(x_low, marker.at), (x_high, marker.at)]
            sign = marker.sign or ("│" if upright else "─")
            _draw(figure, picture, ends, sign, ranges)
            names.append(f"{sign} {shown(marker.name)}")
    for axis, scale, (low, high) in (("x", picture.x_axis, ranges[0]), ("y", picture.y_axis, ranges[1])):
        ruler, places = figure.ruler(axis), ticks(low, high, scale)
        ruler.lim(0.0, 1.0)
        ruler.ticks([_share(place, low, high, scale) for place in places], [_figure(place) for place in places])
    drawn = plotext.uncolorize(str(figure.build()))
    figure.clear()
    lines = [line.rstrip() for line in drawn.splitlines() if line.strip()]
    return [shown(picture.title), f"{shown(picture.y_label)} over {shown(picture.x_label)}", *lines,
            *_packed(names, columns), *(line for word in picture.words for line in wrap(shown(word), columns))]


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


def _draw(figure: Any, picture: Picture, points: list[tuple[float, float]], sign: str, ranges: Ranges) -> None:
    """One curve as shares of the axes, so that both kinds of axis are drawn alike; what lies outside the picture is
    cut off, so that no line is drawn along its edge."""
    (x_low, x_high), (y_low, y_high) = ranges
    inside = [(x, y) for x, y in points if x_low <= x <= x_high and y_low <= y <= y_high]
    if not inside:
        return
    kept = [*inside[::max(1, len(inside) // MOST_POINTS)], inside[-1]]
    signal = figure.signal([_share(x, x_low, x_high, picture.x_axis) for x, _ in kept],
                           [_share(y, y_low, y_high, picture.y_axis) for _, y in kept], marker=sign)
    signal.lines()
    figure.draw(signal)


_DASHES = ("", "8 4", "2 3", "10 3 2 3", "14 4", "4 4")
_LEFT, _RIGHT, _TOP, _FOOT, _LINE = 64.0, 16.0, 34.0, 52.0, 16.0


def svg_plot(picture: Picture, width: float = 720.0, height: float = 400.0, top: float = 0.0
             ) -> tuple[list[str], float]:
    """The picture as SVG elements whose upper edge is at `top`, and the height they take in all."""
    (x_low, x_high), (y_low, y_high) = picture.ranges()
    left, right, upper, lower = _LEFT, width - _RIGHT, top + _TOP, top + height - _FOOT

    def across(value: float) -> float:
        return left + (right - left) * _share(value, x_low, x_high, picture.x_axis)

    def up(value: float) -> float:
        return lower - (lower - upper) * _share(value, y_low, y_high, picture.y_axis)

    def path(points: Sequence[tuple[float, float]]) -> str:
        return " ".join(f"{across(x):.1f},{up(y):.1f}" for x, y in points)

    out = [_text(left, top + 20.0, picture.title, size=15, weight="bold")]
    for value in ticks(x_low, x_high, picture.x_axis):
        out.append(f'<line x1="{across(value):.1f}" y1="{upper:.1f}" x2="{across(value):.1f}" y2="{lower:.1f}" '
                   'stroke="#ccc" stroke-width="0.7"/>')
        out.append(_text(across(value), lower + 15.0, _figure(value), anchor="middle"))
    for value in ticks(y_low, y_high, picture.y_axis):
        out.append(f'<line x1="{left:.1f}" y1="{up(value):.1f}" x2="{right:.1f}" y2="{up(value):.1f}" stroke="#ccc" '
                   'stroke-width="0.7"/>')
        out.append(_text(left - 6.0, up(value) + 4.0, _figure(value), anchor="end"))
    for band in picture.bands:
        low, high = picture.kept(band.x, band.low), picture.kept(band.x, band.high)
        if low and high:
            out.append(f'<polygon points="{path([*high, *reversed(low)])}" {_shade(picture.bands.index(band))}/>')
    for series, dash in zip(picture.series, _cycle(len(picture.series)), strict=True):
        points = picture.kept(series.x, series.y)
        if points:
            out.append(f'<polyline points="{path(points)}" fill="none" stroke="#000" stroke-width="2" '
                       f'stroke-dasharray="{dash}"/>')
    for marker in picture.markers:
        if marker.axis == "x":
            ends = (across(marker.at), upper, across(marker.at), lower)
        else:
            ends = (left, up(marker.at), right, up(marker.at))
        out.append('<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" stroke="#000" stroke-width="1" '
                   'stroke-dasharray="1 3"/>'.format(*ends))
        out.append(_text(ends[0] + 4.0 if marker.axis == "x" else right - 4.0, upper + 12.0 if marker.axis == "x"
                         else ends[1] - 4.0, marker.name, anchor="start" if marker.axis == "x" else "end"))
    out.append(f'<rect x="{left:.1f}" y="{upper:.1f}" width="{right - left:.1f}" height="{lower - upper:.1f}" '
               'fill="none" stroke="#000"/>')
    out.append(_text((left + right) / 2, lower + 32.0, picture.x_label, anchor="middle"))
    out.append(f'<g transform="rotate(-90 16 {(upper + lower) / 2:.1f})">'
               + _text(16.0, (upper + lower) / 2, picture.y_label, anchor="middle") + "</g>")
    below = top + height
    for series, dash in zip(picture.series, _cycle(len(picture.series)), strict=True):
        out.append(f'<line x1="{left:.1f}" y1="{below - 4.0:.1f}" x2="{left + 40.0:.1f}" y2="{below - 4.0:.1f}" '
                   f'stroke="#000" stroke-width="2" stroke-dasharray="{dash}"/>')
        out.append(_text(left + 48.0, below, series.name))
        below += _LINE
    for band in picture.bands:
        out.append(f'<rect x="{left:.1f}" y="{below - 10.0:.1f}" width="40" height="10" '
                   f'{_shade(picture.bands.index(band))}/>')
        out.append(_text(left + 48.0, below, band.name))
        below += _LINE
    for word in picture.words:
        out.append(_text(left, below, word))
        below += _LINE
    return out, below - top


def svg_page(pictures: Sequence[Picture], width: float = 720.0) -> str:
    """Pictures below one another as one SVG document."""
    elements: list[str] = []
    top = 0.0
    for picture in pictures:
        drawn, taken = svg_plot(picture, width, top=top)
        elements += drawn
        top += taken + _LINE
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {top:.0f}" width="{width:.0f}" '
            f'height="{top:.0f}" font-family="sans-serif" font-size="12">\n<rect width="100%" height="100%" '
            'fill="#fff"/>\n' + "\n".join(elements) + "\n</svg>\n")


def write_svg(pictures: Sequence[Picture], path: str | os.PathLike[str]) -> Path:
    """Write pictures as one SVG file; an earlier SVG file is replaced, any other file is left alone.

    Raises
    ------
    StoreError
        Another kind of file stands there, or it cannot be written.
    """
    target = Path(path)
    try:
        if target.exists():
            with target.open("rb") as held:
                if not held.read(200).lstrip().startswith((b"<svg", b"<?xml")):
                    raise StoreError(f"{shown(target)}: a file that is not SVG stands there; accepted is a new name, "
                                     "or an SVG file to replace")
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=".", suffix=".svg")
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            out.write(svg_page(pictures))
        Path(name).chmod(0o644)
        Path(name).replace(target)
    except OSError as error:
        raise StoreError(f"{shown(target)}: cannot be written: {error.strerror or error}; accepted is a file in a "
                         "folder that can be written to") from None
    return target


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


def _share(value: float, low: float, high: float, axis: Axis) -> float:
    if axis == "log":
        value, low, high = (math.log10(max(each, 1e-300)) for each in (value, low, high))
    return min(max((value - low) / (high - low), 0.0), 1.0)


def _shade(number: int) -> str:
    """Fill and edge of a band: the first grey, the next ones open with a dashed edge."""
    if number == 0:
        return 'fill="#999" fill-opacity="0.35" stroke="#666" stroke-width="0.8"'
    return f'fill="#999" fill-opacity="0.1" stroke="#000" stroke-width="1.2" stroke-dasharray="{_DASHES[number + 1]}"'


def _cycle(count: int) -> list[str]:
    return [_DASHES[number % len(_DASHES)] for number in range(count)]


def _figure(value: float) -> str:
    return f"{value:.6g}".replace("-", "−")


def _text(x: float, y: float, text: str, anchor: str = "start", size: int = 12, weight: str = "normal") -> str:
    safe = shown(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
    return (f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}" font-weight="{weight}">'
            f"{safe}</text>")
