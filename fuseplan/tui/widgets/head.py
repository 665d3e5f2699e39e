"""The two lines at the head of every screen: which plan, how it stands; one line where there is little room."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.widgets import Static

from fuseplan.quantities import writing
from fuseplan.tui.layout import LOW
from fuseplan.tui.words import LEVEL_STYLES, MEASURE_STYLE, QUIET_STYLE, VERDICT_STYLES, line, lines
from fuseplan.workspace.overview import Overview, overview
from fuseplan.workspace.session import Session

FAULT = "✗ not all worked out"
WAITING = "✎"


class Head(Static):
    """Plan, limits, unsaved mark, system voltage; worst balance while running; numbers of findings."""

    DEFAULT_CSS = """
    Head { height: 2; min-height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self) -> None:
        super().__init__("", markup=False)
        self._shown: tuple[Overview | None, str, bool, int, bool] | None = None

    def show(self, session: Session, screen: str, fault: bool = False) -> None:
        """Show the plan as it is now, which numbered screen this is, and whether something on it cannot be worked out;
        does nothing when nothing of it changed."""
        self._show(overview(session), screen, fault)

    async def on_click(self, event: events.Click) -> None:
        """A click on the number of entries with errors goes to the next of them."""
        now, offset = self._shown[0] if self._shown else None, event.get_content_offset(self)
        if now is None or not now.waiting or offset is None or offset.y != 0:
            return
        before, found, behind = self._first_line.rpartition(WAITING)
        # Words behind it are part of it as far as a gap of two spaces; its number alone where there is no such gap.
        words = f"{found}{behind.partition('  ')[0]}"
        if found and 0 <= offset.x - cell_len(before) < cell_len(words):
            await self.run_action("app.next_waiting")

    def mark_fault(self) -> None:
        """Show that something on the screen cannot be worked out, also where that is the head itself."""
        now, screen = self._shown[:2] if self._shown else (None, "")
        self._show(now, screen, True)

    def _show(self, now: Overview | None, screen: str, fault: bool) -> None:
        width, low = self.app.size.width, self.app.size.height < LOW
        if (now, screen, fault, width, low) != self._shown:
            self._shown = now, screen, fault, width, low
            make = head_line if low else head_content
            content = line((FAULT, "bold $text-error")) if now is None else make(now, screen, width - 2, fault)
            self._first_line = content.plain.partition("\n")[0]
            self.update(content, layout=False)


def head_content(now: Overview, screen: str, width: int, fault: bool = False) -> Content:
    """The two lines, the right-hand ends at the right edge; `screen` is number and name of a numbered screen."""
    voltage = line("   ", writing.stated(now.system_v, "V"))
    marks = _marks(now, fault, width - voltage.cell_length - _LEAST_TITLE)
    first = _spread(_title(now, screen, width - marks.cell_length - voltage.cell_length - 1), marks + voltage, width)
    balance = _balance(now)
    counts = _counts(now, width - balance.cell_length - 2, width - _LEAST_BALANCE - 2)
    if counts.cell_length + balance.cell_length + 2 > width:
        balance = balance.truncate(max(0, width - counts.cell_length - 1), ellipsis=True)
    return lines(first, _spread(balance, counts, width))


def head_line(now: Overview, screen: str, width: int, fault: bool = False) -> Content:
    """One line where there is no room for two: what is wrong, what is not saved, then as much of the rest as fits."""
    marks = _marks(now, fault, width * 2 // 5)
    room = width - marks.cell_length - 2 - 2 * _LEAST_TITLE
    counts = _counts(now, room, room) + line("  ")
    right = counts + marks
    return _spread(_title(now, screen, width - right.cell_length - 1), right, width)


_LEAST_TITLE = 12
"""Columns kept for the name of the screen or the plan."""
_LEAST_BALANCE = 24
"""Columns kept for the balance where circuits that could not be judged are to be counted beside it."""
_WORDS = ((" ", "  "), ("", " "))
"""Between sign, number and word, and between two counts: the wider way first."""


def _title(now: Overview, screen: str, room: int) -> Content:
    """Screen, plan and limits; where there is no room for all, the plan's name is cut, then limits and plan go."""
    here = line((screen, "bold $text-accent")) if screen else line("")
    title, limits = line((now.title, "bold")), line((f"   {now.limit_set} limits", QUIET_STYLE))
    left = room - here.cell_length - 3 * bool(screen)
    if left < _LEAST_TITLE + limits.cell_length:
        limits = line("")
    if left < 4:
        return here.truncate(max(0, room), ellipsis=True)
    title = title.truncate(left - limits.cell_length, ellipsis=True)
    return line((f"{screen}   ", "bold $text-accent") if screen else "") + title + limits


def _marks(now: Overview, fault: bool, room: int) -> Content:
    """What is not as it should be and what is not saved, in words where there is room for them."""
    unsaved = ("● unsaved", "bold $text-warning") if now.unsaved else ("saved", QUIET_STYLE)
    whole = [(FAULT, "bold $text-error")] * fault
    short = [("✗", "bold $text-error")] * fault
    if now.waiting:
        whole.append((f"{WAITING} {now.waiting}", "bold $text-warning"))
        short.append((f"{WAITING} {now.waiting.partition(' ')[0]}", "bold $text-warning"))
    if now.unkept:
        whole.append(("✗ not kept for recovery", "bold $text-error"))
        short.append(("✗ not kept", "bold $text-error"))
    said = [Content(between).join([line(each) for each in [*parts, unsaved]])
            for parts, between in ((whole, "   "), (short, " "))]
    return said[0] if said[0].cell_length <= room else said[1]


def _counts(now: Overview, room: int, most: int) -> Content:
    """Numbers of findings, and of circuits that could not be judged, in `room` columns; where there is no room for all
    of them, the worst ones. The circuits that could not be judged are always among them, in up to `most` columns:
    without them no dangers and no warnings read as ok."""
    counted = [("✗", now.danger, "danger", LEVEL_STYLES["danger"]),
               ("!", now.warning, "warning", LEVEL_STYLES["warning"]),
               *([("?", now.unknown, "unknown", VERDICT_STYLES["unknown"])] if now.unknown else []),
               ("·", now.advice, "advice", LEVEL_STYLES["advice"]), ("◐", now.measure, "measure", MEASURE_STYLE)]

    def said(chosen: Sequence[tuple[str, int, str, str]], behind_sign: str, between: str) -> Content:
        return Content(between).join([
            line((f"{sign}{behind_sign}{number} {word}".rstrip(), style if number else QUIET_STYLE))
            for sign, number, word, style in chosen])

    worst = counted[:3 if now.unknown else 1]
    others = [(sign, number, "", style) for sign, number, _, style in worst[1:]]
    short = [said([*worst[:1], *each], *_WORDS[-1]) for each in (others, others[-1:])]
    words = [said(counted[:many], *each) for many in range(len(counted), len(worst) - 1, -1) for each in _WORDS]
    within = [each for each in words if each.cell_length <= room] \
        or [each for each in (words[-1], *short) if each.cell_length <= most]
    return within[0] if within else short[-1]


def _balance(now: Overview) -> Content:
    if now.worst is None:
        return line(("no running condition", QUIET_STYLE))
    if now.balance_a is None:
        return line(now.worst, ("  balance ?", "bold $text-warning"), (" alternator unknown", QUIET_STYLE))
    short = now.balance_a < 0
    return line(f"{now.worst}  ", (writing.balance(now.balance_a, "A"), "bold $text-error" if short else "bold"),
                (" short" if short else " spare", "bold $text-error" if short else QUIET_STYLE))


def _spread(left: Content, right: Content, width: int) -> Content:
    gap = max(1, width - left.cell_length - right.cell_length)
    return Content.assemble(left, " " * gap, right)
