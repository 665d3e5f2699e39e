"""The fuse range as a bar: the smallest fuse for the load on the left, the largest for the wire on the right, the fuse
between them."""

from __future__ import annotations

import math

from textual.content import Content
from textual.widget import Widget

from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult
from fuseplan.results.supply import FeedResult
from fuseplan.tables import fuses
from fuseplan.tui.words import QUIET_STYLE, line, lines

_LEAST_BAR = 16
"""Columns below which the bar tells nothing; its ends are then named in one word each."""


class FuseRangeBar(Widget):
    """Two lines: the bar with its ends named, and the ratings there are, the fitted one in brackets."""

    DEFAULT_CSS = "FuseRangeBar { height: 2; padding: 0 1; }"

    def __init__(self) -> None:
        super().__init__()
        self._view: JudgedCircuit | FeedResult | None = None

    def show(self, view: JudgedCircuit | FeedResult | None) -> None:
        """Show the window of a circuit or feed."""
        self._view = view
        self.refresh()

    def render(self) -> Content:
        return bar_content(self._view, self.content_size.width)


def bar_content(view: JudgedCircuit | FeedResult | None, width: int) -> Content:
    """The two lines of the bar, `width` columns wide."""
    if view is None:
        return lines(line(""), line(""))
    fuse = view.fuse
    if fuse is None:
        reason = _unfused(view)
        return lines(line(("No fuse of its own. ", "bold"), reason), line(""))
    low, high = fuse.range_a.low, fuse.range_a.high
    if low is None and high is None:
        return lines(line(("Fuse range ? ", "bold"), "neither the load nor the wire is known yet"), line(""))
    surge = f", for inrush {writing.rating(fuse.proposed_a)}" if fuse.for_surge else ""
    left = f"smallest for load {writing.SMALLEST_FUSE(low)}{surge} " if low is not None else "load unknown ? "
    limited = "equipment" if fuse.is_set_by_maker else "wire"
    right = f" largest for {limited} {writing.LARGEST_FUSE(high)}" if high is not None else " ? wire unknown"
    if width - len(left) - len(right) < _LEAST_BAR:
        left = f"load {writing.SMALLEST_FUSE(low)}{surge} " if low is not None else "load ? "
        right = f" {limited} {writing.LARGEST_FUSE(high)}" if high is not None else " wire ?"
    room = max(10, width - len(left) - len(right))
    no_wire = high is not None and high <= 0
    if fuse.range_a.is_empty or no_wire:
        words = next((each for each in (f" no fuse fits: {_why_none(fuse, no_wire)} ", " no fuse fits ")
                      if room >= len(each) + 4), " no fuse ")
        dashes = max(0, room - len(words) - 4)
        bar = f"├{'─' * (dashes // 2)}╳{words}╳{'─' * (dashes - dashes // 2)}┤"
        first = line((left, "bold"), (bar, "bold $text-error"), (right, "bold"))
        return lines(first, _ratings_line(fuse, None, len(left), room, width))
    axis = _Axis(low, high, fuse.rating_a, room)
    return lines(
        Content.assemble(line((left, "bold")), axis.bar(), line((right, "bold"))),
        _ratings_line(fuse, axis, len(left), room, width),
    )


def _why_none(fuse: FuseResult, no_wire: bool) -> str:
    if fuse.is_set_by_maker:
        return "equipment allows less than the load needs"
    if no_wire:
        return "insulation too weak"
    return "a wire behind it too thin" if fuse.is_set_elsewhere else "wire too thin for the load"


def _unfused(view: JudgedCircuit | FeedResult | None) -> str:
    part = None if view is None else view.circuit if isinstance(view, JudgedCircuit) else view.feed
    if view is None or part is None:
        return ""
    if not view.is_unfused:
        return f"Reason given: {part.unfused}" if part.unfused else ""
    role = f"Role: {part.role.replace('_', ' ')}. " if part.role else ""
    return f"{role}Reason given: {part.unfused}" if part.unfused else role or "Add one in the form, or state its role."


class _Axis:
    """Currents on a logarithmic axis; the window takes the middle of it."""

    def __init__(self, low_a: float | None, high_a: float | None, rating_a: float | None, room: int) -> None:
        known = [value for value in (low_a, high_a, rating_a) if value is not None and value > 0]
        self.low_a = low_a or 0.0
        self.high_a = high_a if high_a is not None else math.inf
        self.rating_a = rating_a
        self.start, self.end = min(known) / 1.6, max(known) * 1.6
        self.room = room

    def column(self, current_a: float) -> int:
        """Column of a current, kept within the bar."""
        share = math.log(max(current_a, self.start) / self.start) / math.log(self.end / self.start)
        return min(self.room - 1, max(0, round(share * (self.room - 1))))

    def bar(self) -> Content:
        """Dots where a fuse is too small, a line where it suits, crosses where the wire is no longer guarded."""
        low = self.column(self.low_a) if self.low_a > 0 else 0
        high = self.column(self.high_a) if math.isfinite(self.high_a) else self.room - 1
        cells = ["·"] * low + ["━"] * (high - low + 1) + ["╳"] * (self.room - high - 1)
        cells[low], cells[high] = ("├", "┤") if low < high else ("┼", "┼")
        if self.low_a <= 0:
            cells[low] = "━"
        if not math.isfinite(self.high_a):
            cells[high] = "?"
        styles = ["$foreground 60%"] * low + ["bold $text-success"] * (high - low + 1)
        styles += ["$text-error"] * (self.room - high - 1)
        if self.rating_a is not None:
            inside = self.low_a <= self.rating_a <= self.high_a
            at = self.column(self.rating_a)
            cells[at], styles[at] = ("◆", "bold") if inside else ("✗", "bold $text-error")
        return line(*zip(cells, styles, strict=True))


def _ratings_line(fuse: FuseResult, axis: _Axis | None, indent: int, room: int, width: int) -> Content:
    """The ratings the fuse type is made in, under their places on the bar; without an axis, the fuse in words."""
    kind, rating_a = fuse.kind, fuse.rating_a
    words = f"{kind} fuse {writing.rating(rating_a)}"
    if rating_a is None:
        words = f"{kind} fuse, no rating passes every check" if fuse.none_fits else f"{kind} fuse, no rating yet"
    elif not fuse.entered:
        words += " proposed"
    if axis is None:
        return line((words, QUIET_STYLE))
    cells = [" "] * room
    made = fuses.ratings(kind)
    marks = sorted(made.value if made else (), key=lambda step: step != rating_a)
    for step in marks:
        if axis.start <= step <= axis.end:
            text = f"[{writing.stated(step)}]" if step == rating_a else writing.stated(step)
            at = min(room - len(text), max(0, axis.column(step) - len(text) // 2))
            if all(cell == " " for cell in cells[max(0, at - 1): at + len(text) + 1]):
                cells[at: at + len(text)] = text
    head = words if len(words) < indent else f"{kind} {writing.rating(rating_a) if rating_a else ''}"
    return line((head.ljust(indent)[:indent], QUIET_STYLE), "".join(cells)).truncate(width)
