"""The two lines at the head of every screen: which plan, how it stands."""

from __future__ import annotations

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.widgets import Static

from fuseplan.quantities import writing
from fuseplan.tui.words import LEVEL_STYLES, MEASURE_STYLE, QUIET_STYLE, line, lines
from fuseplan.workspace.overview import Overview, overview
from fuseplan.workspace.session import Session

FAULT = "✗ not all worked out"
WAITING = "✎"


class Head(Static):
    """Plan, limits, unsaved mark, system voltage; worst balance while running; numbers of findings."""

    DEFAULT_CSS = "Head { height: 2; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }"

    def __init__(self) -> None:
        super().__init__("", markup=False)
        self._shown: tuple[Overview | None, str, bool, int] | None = None

    def show(self, session: Session, screen: str, fault: bool = False) -> None:
        """Show the plan as it is now, which numbered screen this is, and whether something on it cannot be worked out;
        does nothing when nothing of it changed."""
        self._show(overview(session), screen, fault)

    async def on_click(self, event: events.Click) -> None:
        """A click on the number of entries with errors goes to the next of them."""
        now, offset = self._shown[0] if self._shown else None, event.get_content_offset(self)
        if now is None or not now.waiting or offset is None or offset.y != 0:
            return
        words = f"{WAITING} {now.waiting}"
        before, found, _ = self._first_line.partition(words)
        if found and 0 <= offset.x - cell_len(before) < cell_len(words):
            await self.run_action("app.next_waiting")

    def mark_fault(self) -> None:
        """Show that something on the screen cannot be worked out, also where that is the head itself."""
        now, screen = self._shown[:2] if self._shown else (None, "")
        self._show(now, screen, True)

    def _show(self, now: Overview | None, screen: str, fault: bool) -> None:
        width = self.app.size.width
        if (now, screen, fault, width) != self._shown:
            self._shown = now, screen, fault, width
            content = line((FAULT, "bold $text-error")) if now is None else \
                head_content(now, screen, width - 2, fault)
            self._first_line = content.plain.partition("\n")[0]
            self.update(content, layout=False)


def head_content(now: Overview, screen: str, width: int, fault: bool = False) -> Content:
    """The two lines, the right-hand ends at the right edge; `screen` is number and name of a numbered screen."""
    marks: list[str | tuple[str, str]] = [(f"{FAULT}   ", "bold $text-error")] if fault else []
    if now.waiting:
        marks += [(f"{WAITING} {now.waiting}", "bold $text-warning"), "   "]
    if now.unkept:
        marks.append(("✗ not kept for recovery   ", "bold $text-error"))
    marks.append(("● unsaved   ", "bold $text-warning") if now.unsaved else ("saved   ", QUIET_STYLE))
    marks.append(writing.stated(now.system_v, "V"))
    right = line(*marks)
    middle = line((f"   {now.limit_set} limits", QUIET_STYLE))
    here = line((f"{screen}   ", "bold $text-accent")) if screen else line("")
    room = max(8, width - here.cell_length - right.cell_length - middle.cell_length - 2)
    title = line((now.title, "bold")).truncate(room, ellipsis=True)
    first = _spread(here + title + middle, right, width)
    balance = _balance(now)
    counts = _counts(now, " ", "  ")
    if balance.cell_length + counts.cell_length + 2 > width:
        counts = _counts(now, "", " ")
    return lines(first, _spread(balance, counts, width))


def _counts(now: Overview, behind_sign: str, between: str) -> Content:
    parts: list[str | tuple[str, str]] = []
    for sign, number, word, style in (
        ("✗", now.danger, "danger", LEVEL_STYLES["danger"]), ("!", now.warning, "warning", LEVEL_STYLES["warning"]),
        ("·", now.advice, "advice", LEVEL_STYLES["advice"]), ("◐", now.measure, "measure", MEASURE_STYLE),
    ):
        parts += [(f"{sign}{behind_sign}{number} {word}", style if number else QUIET_STYLE), between]
    return line(*parts[:-1])


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
