"""Pictures as SVG, written by hand: black lines that differ by their dashes, every name spelled out."""

from __future__ import annotations

from collections.abc import Sequence

from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import wrap
from fuseplan.papers.plots import Picture, share_of, ticks
from fuseplan.quantities import writing

_DASHES = ("", "8 4", "2 3", "10 3 2 3", "14 4", "4 4")
_LETTER = 6.5
"""Width of a letter of running text, on the wide side."""
_WIDTH, _HEIGHT = 720.0, 400.0
_LEFT, _RIGHT, _TOP, _FOOT, _LINE = 64.0, 16.0, 34.0, 52.0, 16.0


def svg_plot(picture: Picture, top: float) -> tuple[list[str], float]:
    """The picture as SVG elements whose upper edge is at `top`, and the height they take in all."""
    (x_low, x_high), (y_low, y_high) = picture.ranges()
    left, right, upper, lower = _LEFT, _WIDTH - _RIGHT, top + _TOP, top + _HEIGHT - _FOOT

    def across(value: float) -> float:
        return left + (right - left) * share_of(value, x_low, x_high, picture.x_axis)

    def up(value: float) -> float:
        return lower - (lower - upper) * share_of(value, y_low, y_high, picture.y_axis)

    def path(points: Sequence[tuple[float, float]]) -> str:
        return " ".join(f"{across(x):.1f},{up(y):.1f}" for x, y in points)

    out = [_text(left, top + 20.0, picture.title, size=15, weight="bold")]
    for value in ticks(x_low, x_high, picture.x_axis):
        out.append(f'<line x1="{across(value):.1f}" y1="{upper:.1f}" x2="{across(value):.1f}" y2="{lower:.1f}" '
                   'stroke="#ccc" stroke-width="0.7"/>')
        out.append(_text(across(value), lower + 15.0, writing.stated(value), anchor="middle"))
    for value in ticks(y_low, y_high, picture.y_axis):
        out.append(f'<line x1="{left:.1f}" y1="{up(value):.1f}" x2="{right:.1f}" y2="{up(value):.1f}" stroke="#ccc" '
                   'stroke-width="0.7"/>')
        out.append(_text(left - 6.0, up(value) + 4.0, writing.stated(value), anchor="end"))
    for band in picture.bands:
        low, high = picture.kept(band.x, band.low), picture.kept(band.x, band.high)
        if low and high:
            out.append(f'<polygon points="{path([*high, *reversed(low)])}" {_shade(picture.bands.index(band))}/>')
    for series, dash in zip(picture.series, _cycle(len(picture.series)), strict=True):
        points = picture.kept(series.x, series.y)
        if points:
            out.append(f'<polyline points="{path(points)}" fill="none" stroke="#000" stroke-width="2" '
                       f'stroke-dasharray="{dash}"/>')
    for number, marker in enumerate(picture.markers):
        upright = marker.axis == "x"
        ends = (across(marker.at), upper, across(marker.at), lower) if upright else \
            (left, up(marker.at), right, up(marker.at))
        out.append('<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" stroke="#000" stroke-width="1" '
                   'stroke-dasharray="1 3"/>'.format(*ends))
        if upright:
            # One below the other, and on the side with room, so that names of neighbours stay legible.
            late = ends[0] > left + 0.7 * (right - left)
            out.append(_text(ends[0] + (-4.0 if late else 4.0), lower - 8.0 - _LINE * number, marker.name,
                             anchor="end" if late else "start"))
        else:
            out.append(_text(right - 4.0, ends[1] - 4.0, marker.name, anchor="end"))
    out.append(f'<rect x="{left:.1f}" y="{upper:.1f}" width="{right - left:.1f}" height="{lower - upper:.1f}" '
               'fill="none" stroke="#000"/>')
    out.append(_text((left + right) / 2, lower + 32.0, picture.x_label, anchor="middle"))
    out.append(f'<g transform="rotate(-90 16 {(upper + lower) / 2:.1f})">'
               + _text(16.0, (upper + lower) / 2, picture.y_label, anchor="middle") + "</g>")
    below = top + _HEIGHT
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
        for line in wrap(shown(word), int((right - left) / _LETTER)):
            out.append(_text(left, below, line))
            below += _LINE
    return out, below - top


def svg_page(pictures: Sequence[Picture]) -> str:
    """Pictures below one another as one SVG document."""
    elements: list[str] = []
    top = 0.0
    for picture in pictures:
        drawn, taken = svg_plot(picture, top)
        elements += drawn
        top += taken + _LINE
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH:.0f} {top:.0f}" width="{_WIDTH:.0f}" '
            f'height="{top:.0f}" font-family="sans-serif" font-size="12">\n<rect width="100%" height="100%" '
            'fill="#fff"/>\n' + "\n".join(elements) + "\n</svg>\n")


def _shade(number: int) -> str:
    """Fill and edge of a band: the first grey, the next ones open with a dashed edge."""
    if number == 0:
        return 'fill="#999" fill-opacity="0.35" stroke="#666" stroke-width="0.8"'
    dash = _DASHES[(number + 1) % len(_DASHES)]
    return f'fill="#999" fill-opacity="0.1" stroke="#000" stroke-width="1.2" stroke-dasharray="{dash}"'


def _cycle(count: int) -> list[str]:
    return [_DASHES[number % len(_DASHES)] for number in range(count)]


def _text(x: float, y: float, text: str, anchor: str = "start", size: int = 12, weight: str = "normal") -> str:
    safe = shown(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
    return (f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}" font-weight="{weight}">'
            f"{safe}</text>")
