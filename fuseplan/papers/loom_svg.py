"""The loom as a drawing: to scale along its length, black on white, written by xml.etree, which escapes every text.

Runs are lines with their number, length, wires and diameter; places are numbered circles; joints in a wire diamonds;
connectors and named splices stand in brackets beside their place. The tables of the paper say the rest.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping, Sequence

from fuseplan.build.geometry import LoomLayout, LoomPlace, LoomSection
from fuseplan.papers.harmless import shown, width
from fuseplan.quantities import writing
from fuseplan.records import dataclass

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, upper, right, lower edge."""
ROOM_MM = (262.0, 150.0)
"""Width and height the drawing may take."""
SCALES = (1, 2, 5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200, 300, 500, 1000, 2000)
"""1:N; the largest drawing that has room."""
_MARGIN_MM = 26.0
"""Round the loom, for names."""
_LETTER_MM = 2.6
_NARROW = 0.6
"""Width of a letter over its height, on the wide side."""
_LINE_MM = 3.3
_CIRCLE_MM = 2.6
_SPLICE_APART_MM = 5.0
"""Splices nearer to each other share a line."""


@dataclass(frozen=True)
class Mark:
    """A splice on the drawing: its number, the run it is in and the share of the way from the run's start."""

    words: str
    run: str
    share: float


@dataclass(frozen=True)
class Drawn:
    """The drawing with its size and scale."""

    svg: str
    width_mm: float
    height_mm: float
    scale: int


def draw(layout: LoomLayout, numbers: Mapping[str, str], marks: Sequence[Mark] = ()) -> Drawn:
    """The loom on a sheet.

    Args:
        layout: of one run at least: without any there is nothing to draw
        numbers: what is written at each run and place, by ``run:ID`` and ``place:NAME``: the numbers of the tables
    """
    places = {place.name: place for place in layout.places}
    turned = _turned(layout)
    spot = {name: _turn((place.x_m, place.y_m), turned) for name, place in places.items()}
    left, top = min(x for x, _ in spot.values()), max(y for _, y in spot.values())
    wide_m = max(x for x, _ in spot.values()) - left
    high_m = top - min(y for _, y in spot.values())
    scale = next((each for each in SCALES if wide_m * 1000 / each <= ROOM_MM[0] - 2 * _MARGIN_MM
                  and high_m * 1000 / each <= ROOM_MM[1] - 2 * _MARGIN_MM), SCALES[-1])
    # In the middle of the sheet.
    aside = (ROOM_MM[0] - wide_m * 1000 / scale) / 2
    at = {name: (aside + (x - left) * 1000 / scale, _MARGIN_MM + (top - y) * 1000 / scale)
          for name, (x, y) in spot.items()}
    size = (ROOM_MM[0], high_m * 1000 / scale + 2 * _MARGIN_MM + 8.0)
    root = ET.Element("svg", {
        "xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {size[0]:.1f} {size[1]:.1f}",
        "width": f"{size[0]:.1f}mm", "height": f"{size[1]:.1f}mm", "font-family": "DejaVu Sans, sans-serif"})
    ET.SubElement(root, "rect", {"width": "100%", "height": "100%", "fill": "#fff"})
    for section in layout.sections:
        _line(root, section, at)
    # All texts after all lines: none is cut by the line of the next run.
    for section in layout.sections:
        _section_words(root, section, at, numbers[f"run:{section.bundle.id}"])
    for section in layout.sections:
        _splices(root, [mark for mark in marks if mark.run == section.bundle.id], at[section.start.name],
                 at[section.end.name])
    named: list[Box] = []
    # What takes most room is placed first, as long as there is some.
    for place in sorted(layout.places, key=lambda each: -len(_lines(each))):
        _place(root, place, at, numbers[f"place:{place.name}"], layout, named)
    _scale_bar(root, size, scale)
    return Drawn(ET.tostring(root, encoding="unicode"), size[0], size[1], scale)


def _turned(layout: LoomLayout) -> bool:
    """Whether it lies better on the sheet turned by a quarter."""
    xs, ys = [place.x_m for place in layout.places], [place.y_m for place in layout.places]
    return max(ys) - min(ys) > max(xs) - min(xs)


def _turn(point: Point, turned: bool) -> Point:
    return (-point[1], point[0]) if turned else point


def _thick(section: LoomSection) -> float:
    """Thickness of a run's line in mm, by its number of wires."""
    return min(max(math.sqrt(len(section.bundle.pieces)) * 0.55, 0.7), 3.0)


def _line(root: ET.Element, section: LoomSection, at: Mapping[str, Point]) -> None:
    (x1, y1), (x2, y2) = at[section.start.name], at[section.end.name]
    thick = _thick(section)
    line = {"x1": f"{x1:.2f}", "y1": f"{y1:.2f}", "x2": f"{x2:.2f}", "y2": f"{y2:.2f}", "stroke": "#000",
            "stroke-width": f"{thick:.2f}", "stroke-linecap": "round"}
    if not section.to_scale:
        line["stroke-dasharray"] = "3 2"
    ET.SubElement(root, "line", line)


def _section_words(root: ET.Element, section: LoomSection, at: Mapping[str, Point], number: str) -> None:
    (x1, y1), (x2, y2) = at[section.start.name], at[section.end.name]
    bundle, thick = section.bundle, _thick(section)
    length = writing.bare(float(bundle.run.length) * 1000.0, "mm", "stated") if bundle.run.length is not None else "?"
    girth = "" if bundle.diameter_mm is None else f" ⌀{writing.bare(bundle.diameter_mm, 'mm', 'burden')}"
    angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
    angle = angle - 180.0 if angle > 90.0 else angle + 180.0 if angle <= -90.0 else angle
    group = ET.SubElement(root, "g", {
        "transform": f"translate({(x1 + x2) / 2:.2f} {(y1 + y2) / 2:.2f}) rotate({angle:.2f})"})
    room = math.hypot(x2 - x1, y2 - y1) - 2 * _CIRCLE_MM
    wires = writing.counted(len(bundle.pieces), "wire")
    for words, y, bold in ((f"{number}  {length} mm", -thick / 2 - 1.2, True),
                           (f"{wires}{girth}", thick / 2 + _LETTER_MM + 0.4, False)):
        # A text longer than its run would run into the next one: it is set narrower, not left out.
        _text(group, (0.0, y), words, "middle", bold, min(_LETTER_MM, max(room / (len(words) * _NARROW), 1.4)))


def _splices(root: ET.Element, marks: Sequence[Mark], start: Point, end: Point) -> None:
    """Splices of one run, each a diamond, its number at the end of a line that reaches past the run's own texts."""
    long = math.hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    ahead = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
    # To the side on which the length is written, which is the upper one.
    out = (ahead[1], -ahead[0]) if ahead[0] >= 0.0 else (-ahead[1], ahead[0])
    words: list[tuple[float, list[str]]] = []
    for mark in sorted(marks, key=lambda each: each.share):
        x, y = start[0] + (end[0] - start[0]) * mark.share, start[1] + (end[1] - start[1]) * mark.share
        ET.SubElement(root, "path", {"d": f"M{x:.2f} {y - 1.6:.2f}l1.6 1.6l-1.6 1.6l-1.6 -1.6z", "fill": "#fff",
                                     "stroke": "#000", "stroke-width": "0.4"})
        if words and (mark.share - words[-1][0]) * long < _SPLICE_APART_MM:
            words[-1][1].append(mark.words)
        else:
            words.append((mark.share, [mark.words]))
    for share, numbers in words:
        x, y = start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
        tip = (x + out[0] * 7.0, y + out[1] * 7.0)
        ET.SubElement(root, "line", {"x1": f"{x + out[0] * 1.6:.2f}", "y1": f"{y + out[1] * 1.6:.2f}",
                                     "x2": f"{tip[0]:.2f}", "y2": f"{tip[1]:.2f}", "stroke": "#000",
                                     "stroke-width": "0.2"})
        _text(root, (tip[0], tip[1] - 0.4), ", ".join(numbers), "middle", False, 2.2)


def _lines(place: LoomPlace) -> list[str]:
    """Name of a place, connectors and named splices at it."""
    connectors = list(dict.fromkeys(name for each in place.ends if each.known
                                    for name in (each.end.connector, each.end.splice) if name))
    more = [f"and {len(connectors) - 4} more"] if len(connectors) > 4 else []
    return [shown(place.name.replace("_", " ")), *(f"[{shown(name)}]" for name in connectors[:4]), *more]


def _place(root: ET.Element, place: LoomPlace, at: Mapping[str, Point], number: str, layout: LoomLayout,
           named: list[Box]) -> None:
    """A numbered circle, and beside it the name and the connectors, where they cover least."""
    x, y = at[place.name]
    ET.SubElement(root, "circle", {"cx": f"{x:.2f}", "cy": f"{y:.2f}", "r": f"{_CIRCLE_MM}", "fill": "#fff",
                                   "stroke": "#000", "stroke-width": "0.5"})
    _text(root, (x, y + 0.9), number, "middle", True, _LETTER_MM)
    lines = _lines(place)
    wide, high = max(map(width, lines)) * _NARROW * 1.15 * _LETTER_MM, len(lines) * _LINE_MM
    boxes = []
    for aside in (1.0, 3.5, 6.0):
        for step in range(16):
            angle = math.pi / 8 * step
            cx = x + math.cos(angle) * (_CIRCLE_MM + aside + wide / 2)
            cy = y + math.sin(angle) * (_CIRCLE_MM + aside + high / 2)
            boxes.append((cx - wide / 2, cy - high / 2, cx + wide / 2, cy + high / 2))
    points = list(_covered(layout, at))
    box = min(boxes, key=lambda each: _crowded(each, points, named))
    named.append(box)
    for step, words in enumerate(lines):
        _text(root, ((box[0] + box[2]) / 2, box[1] + _LINE_MM * (step + 0.8)), words, "middle", step == 0, _LETTER_MM)


def _covered(layout: LoomLayout, at: Mapping[str, Point]) -> Iterator[Point]:
    """Points on the drawing that are taken: along the runs, with room for their texts, and round the places."""
    for section in layout.sections:
        (x1, y1), (x2, y2) = at[section.start.name], at[section.end.name]
        long = math.hypot(x2 - x1, y2 - y1) or 1.0
        across = (-(y2 - y1) / long, (x2 - x1) / long)
        edge = _thick(section) / 2 + 0.5
        for step in range(int(long) + 1):
            # The line in all its thickness, and more than once: a name on it is the harder to read.
            for aside in (-3.0, -edge, 0.0, edge, 3.0) if 4.0 < step < long - 4.0 else (-edge, 0.0, edge):
                yield (x1 + (x2 - x1) * step / long + across[0] * aside,
                       y1 + (y2 - y1) * step / long + across[1] * aside)
    for x, y in at.values():
        for step in range(8):
            yield x + math.cos(math.pi / 4 * step) * _CIRCLE_MM, y + math.sin(math.pi / 4 * step) * _CIRCLE_MM


def _crowded(box: Box, points: Sequence[Point], named: Sequence[Box]) -> float:
    """How much a name at a place would cover; names of other places weigh most."""
    covered = sum(box[0] < x < box[2] and box[1] < y < box[3] for x, y in points)
    others = sum(box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in named)
    return covered + 50.0 * others


def _scale_bar(root: ET.Element, size: Point, scale: int) -> None:
    """A bar of a round length, so that a print that was scaled shows it."""
    length_mm = next(each for each in (5000, 2000, 1000, 500, 200, 100, 50, 20) if each / scale <= 60.0 or each == 20)
    long, y = length_mm / scale, size[1] - 5.0
    ET.SubElement(root, "path", {"d": f"M4 {y - 1.5:.2f}v3m0 -1.5h{long:.2f}m0 -1.5v3", "fill": "none",
                                 "stroke": "#000", "stroke-width": "0.4"})
    _text(root, (long + 7.0, y + 0.9), f"{writing.stated(float(length_mm), 'mm')}; scale 1:{scale} along the runs; "
          "angles are not the car's; dashed: length not known or not to scale", "start", False, 2.2)


def _text(parent: ET.Element, at: Point, words: str, anchor: str, bold: bool, size: float) -> None:
    element = ET.SubElement(parent, "text", {
        "x": f"{at[0]:.2f}", "y": f"{at[1]:.2f}", "font-size": f"{size:.2f}", "text-anchor": anchor})
    if bold:
        element.set("font-weight", "bold")
    # A line behind a text must not cut its letters.
    element.set("paint-order", "stroke")
    element.set("stroke", "#fff")
    element.set("stroke-width", "0.6")
    element.text = shown(words)
