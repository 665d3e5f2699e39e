"""Screens that show a report on the plan, made in the background and made again when the plan changes."""

from __future__ import annotations

from abc import abstractmethod

from textual.app import ComposeResult
from textual.containers import Container, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.plots import Picture
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.tui.actions import bindings
from fuseplan.tui.painted import mark, painted
from fuseplan.tui.screens.base import COPIED, PlanScreen, background
from fuseplan.tui.theme import curve_colours
from fuseplan.tui.words import QUIET_STYLE, line, lines, shortened
from fuseplan.workspace import reports

_MOST_ROOM = 120
WIDE = 150
"""From this width on pictures stand beside the text."""


class ReportScreen(PlanScreen[None]):
    """A report to scroll through. Subclasses say what it is called and how it is made."""

    WHERE = "report"
    FOCUSED = VerticalScroll
    TITLE = ""
    BINDINGS = bindings("report", "main")
    CSS = """
    #subject { height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
    #body { height: 1fr; padding: 0 1; }
    #parts { height: auto; }
    #parts > * { height: auto; width: 1fr; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._made_of: object = None
        self._pictures: list[Picture] = []
        self._drawn_in = ""

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        with VerticalScroll(id="body"):
            yield Static("", id="above", markup=False)
            with Container(id="parts"):
                yield Vertical(id="pictures")
                yield Static("Working it out …", id="report", markup=False)

    def subject(self) -> str:
        """What the report is about, beside its title; part of what it is made of."""
        return ""

    @abstractmethod
    def text(self, assessment: Assessment, room: int, drawn: bool) -> str:
        """The report, with its pictures as text or without; called away from the keyboard, so nothing of the screen is
        touched."""

    def pictures(self, assessment: Assessment) -> list[Picture]:
        """The pictures that stand before the text, or beside it, if there are any; called as `text` is."""
        return []

    def above(self, assessment: Assessment, room: int) -> Content | None:
        """What stands above the report; None for nothing."""
        return None

    def show_plan(self) -> None:
        super().show_plan()
        width = self.app.size.width
        wide = width >= WIDE
        self.query_one("#parts").styles.layout = "horizontal" if wide else "vertical"
        assessment, room = self.session.assessment, min(_MOST_ROOM, (width - 8) // 2 if wide else width - 4)
        made_of = (assessment, room, self.subject(), self.app.theme)
        if self._made_of is not None and made_of == self._made_of:
            return
        self._made_of = made_of
        subject = self.subject()
        self.query_one("#subject", Static).update(
            line((self.TITLE, "bold"), f"  {subject}" if subject else ""), layout=False)
        self._make(assessment, room)

    @background()
    def _make(self, assessment: Assessment, room: int) -> None:
        worker = get_current_worker()
        text, pictures = self.text(assessment, room, drawn=False), self.pictures(assessment)
        above = self.above(assessment, self.app.size.width - 4)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._show, text, pictures, above)

    def _show(self, text: str, pictures: list[Picture], above: Content | None) -> None:
        from fuseplan.tui.widgets.drawn import Drawn

        head = self.query_one("#above", Static)
        head.display = above is not None
        if above is not None:
            head.update(lines(above, line("")))
        self.query_one("#report", Static).update(painted(text))
        held = self.query_one("#pictures", Vertical)
        held.display = bool(pictures)
        if pictures != self._pictures or self.app.theme != self._drawn_in:
            self._pictures, self._drawn_in = pictures, self.app.theme
            held.remove_children()
            colours = curve_colours(self.app.current_theme)
            held.mount_all([Drawn(each, colours) for each in pictures])

    def show_fault(self) -> None:
        self._show(f"✗ {self.fault}", [], None)

    def action_edit(self) -> None:
        """Open the form of what the report is about."""
        self.program.open_form(self.edited())

    @abstractmethod
    def edited(self) -> Path:
        """The part of the plan the report is about."""

    def action_copy(self) -> None:
        """Copy the report as plain text, its pictures drawn with letters."""
        from fuseplan.tui.painted import plain

        def whole() -> str:
            assessment = self.session.assessment
            above = self.above(assessment, COPIED)
            parts = [] if above is None else [above.plain]
            return "\n\n".join([*parts, plain(self.text(assessment, COPIED, drawn=True))])

        text = self.work_out(whole)
        if text is not None:
            self.copy_text(text)


class ChargingScreen(ReportScreen):
    """Screen 3: demand against hot output, curve over engine speed, battery."""

    TITLE = "Charging"
    GO = "go_charging"

    def edited(self) -> Path:
        return ("alternator",)

    def text(self, assessment: Assessment, room: int, drawn: bool) -> str:
        return reports.charging(assessment, room, mark, drawn)

    def pictures(self, assessment: Assessment) -> list[Picture]:
        return reports.charging_pictures(assessment)

    def above(self, assessment: Assessment, room: int) -> Content | None:
        return bars_content(reports.charging_bars(assessment), room)


class CircuitReport(ReportScreen):
    """A report on one circuit."""

    def __init__(self, circuit: str) -> None:
        super().__init__()
        self.circuit = circuit

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        return ("circuit", self.circuit)

    def subject(self) -> str:
        return title_of(self.session.plan, "circuit", self.circuit)

    def edited(self) -> Path:
        return ("circuit", self.circuit)


class ProtectionScreen(CircuitReport):
    """Screen 4: time against current for one circuit."""

    TITLE = "Protection"
    GO = "go_protection"

    def subject(self) -> str:
        return f"{super().subject()}   ← → other circuits"

    def show_plan(self) -> None:
        if self.circuit not in self.session.plan.circuit:
            self.circuit = next(iter(self.session.plan.circuit), "")
        if not self.circuit:
            self.dismiss(None)
            return
        super().show_plan()

    def text(self, assessment: Assessment, room: int, drawn: bool) -> str:
        return reports.protection(assessment, self.circuit, room, mark, drawn)

    def pictures(self, assessment: Assessment) -> list[Picture]:
        return reports.protection_pictures(assessment, self.circuit)

    def action_other(self, by: int) -> None:
        """Show the next circuit, or the one before."""
        ids = self.session.listing.ids(self.session.assessment) or list(self.session.plan.circuit)
        at = ids.index(self.circuit) if self.circuit in ids else 0
        self.circuit = ids[(at + by) % len(ids)]
        self.refresh_plan()


_LEAST_BAR = 10
"""Columns below which no bar is drawn, only its figures."""
_WITH_BAR = "demand █ against hot output │; ╳ comes out of the battery"
_WITHOUT_BAR = "Engine running: demand, hot output, rest"


def bars_content(bars: list[reports.Bar], room: int) -> Content:
    """Demand as a bar, the hot output as its end mark; what the battery has to give is crossed."""
    name_width = min(24, max((len(bar.name) for bar in bars), default=0) + 1)
    width = room - name_width - 34
    drawn = width >= _LEAST_BAR
    most = max([value for bar in bars for value in (bar.demand_a, bar.available_a) if value is not None], default=0.0)
    found = [line((f"{'Engine running':<{name_width}}{_WITH_BAR}" if drawn else _WITHOUT_BAR, QUIET_STYLE))]
    for bar in bars:
        cut = shortened(bar.name, name_width - 1)
        title = f"{cut:<{name_width}}"
        if bar.demand_a is None or bar.available_a is None or most <= 0:
            found.append(line(title, ("? not known yet: see the alternator's form", "bold $text-warning")))
            continue
        demand, output = (round(value / most * (width - 1)) for value in (bar.demand_a, bar.available_a))
        within, beyond = min(demand, output), max(0, demand - output)
        if not drawn:
            found += [line(bar.name), line("  ", *_figures(bar))]
            continue
        found.append(line(
            title, ("█" * within, "$text-success"), " " * (output - within), ("│", "bold"),
            ("╳" * beyond, "bold $text-error"), " " * (width - output - beyond),
            *_figures(bar)))
    return lines(*found)


def _figures(bar: reports.Bar) -> list[str | tuple[str, str]]:
    """Demand, what there is, and the balance."""
    style = "bold $text-error" if (bar.balance_a or 0) < 0 else "bold"
    return [f"{writing.burden(bar.demand_a, 'A'):>8} of {writing.limit(bar.available_a, 'A'):<8}",
            (f"{writing.balance(bar.balance_a, 'A'):>9}", style)]
