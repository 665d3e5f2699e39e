"""The working: the figures of one part, and the arithmetic behind the one under the cursor."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.explain import explain
from fuseplan.checks.rule import Finding
from fuseplan.papers.harmless import shown
from fuseplan.papers.working_text import working_text
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import part_kind_words
from fuseplan.results.address import FigureSpot
from fuseplan.tui.actions import bindings
from fuseplan.tui.painted import mark, painted
from fuseplan.tui.screens.base import background
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.screens.narrowing import Narrowing
from fuseplan.tui.widgets.entry_line import TypedLine
from fuseplan.tui.words import QUIET_STYLE, line
from fuseplan.workspace import workings
from fuseplan.workspace.workings import Subject

WIDE = 118
"""From this width on the working stands beside the list, else below it."""

Groups = list[tuple[str, list[FigureSpot]]]


class WorkingScreen(Narrowing[None]):
    """Figures to choose from, narrowed by typing; the working of the one under the cursor."""

    WHERE = "working"
    FOCUSED = Input
    BINDINGS = bindings("working")
    CSS = """
    WorkingScreen Input { margin: 0 1; }
    WorkingScreen #panes { height: 1fr; layout: vertical; }
    WorkingScreen OptionList { height: 43%; max-height: 8; border: none; background: $background; text-wrap: nowrap;
        text-overflow: ellipsis; }
    WorkingScreen #work { height: 1fr; padding: 0 1; border-top: solid $primary 50%; }
    WorkingScreen #work Static { height: auto; }
    WorkingScreen.-wide #panes { layout: horizontal; }
    WorkingScreen.-wide OptionList { width: 52; height: 1fr; max-height: 100%; }
    WorkingScreen.-wide #work { border-top: none; border-left: solid $primary 50%; }
    WorkingScreen.-alone OptionList, WorkingScreen.-alone Input { display: none; }
    WorkingScreen.-alone #work { border: none; }
    """

    def __init__(self, subject: Subject, finding: Finding | None = None) -> None:
        super().__init__()
        self.subject = subject
        self._finding = finding
        self._groups: Groups = []
        self._listed: list[FigureSpot | None] = []
        self._assessment: Assessment | None = None
        self._gathered_of: Assessment | None = None
        self._address = ""

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield TypedLine(placeholder="type to narrow the list of figures")
        with Container(id="panes"):
            yield OptionList(markup=False)
            with VerticalScroll(id="work", can_focus=False):
                yield Static("Gathering the figures …", markup=False)

    def show_plan(self) -> None:
        super().show_plan()
        self.set_class(self.app.size.width >= WIDE, "-wide")
        if self.session.assessment is not self._assessment:
            self._assessment = self.session.assessment
            self._gather(self._assessment, self.subject)
        else:
            self.call_after_refresh(self._show)

    @background()
    def _gather(self, assessment: Assessment, subject: Subject) -> None:
        groups = workings.figures_of(assessment, subject)
        if not get_current_worker().is_cancelled:
            self.app.call_from_thread(self._have, groups)

    def show_fault(self) -> None:
        if self._gathered_of is not self._assessment:
            self._have([])

    def _have(self, groups: Groups) -> None:
        self._groups, self._gathered_of = groups, self._assessment
        if self._finding is not None:
            found = workings.behind(self.session.assessment, self._finding)
            self._address = found.address if found is not None else ""
            self._finding = None
        self.look_for(self.query_one(Input).value)

    def list_what_fits(self, typed: str) -> None:
        """The figures that hold all words of a text."""
        words = typed.casefold().split()
        options: list[Option] = []
        self._listed = []
        for title, members in self._groups:
            kept = [each for each in members
                    if all(word in f"{title} {each.whole_words} {each.address}".casefold() for word in words)]
            if kept:
                self._listed.append(None)
                options.append(Option(line((title, "bold $text-accent")), disabled=True))
            for each in kept:
                self._listed.append(each)
                options.append(Option(line((f" {shown(each.text):>13}", "bold"), "  ", each.whole_words)))
        listed = self.query_one(OptionList)
        listed.set_options(options)
        places = [at for at, each in enumerate(self._listed) if each is not None]
        listed.highlighted = next((at for at in places if self._listed[at].address == self._address),  # type: ignore[union-attr]  # places hold figures
                                  places[0] if places else None)
        self._show()

    @property
    def figure(self) -> FigureSpot | None:
        """The figure under the cursor."""
        return self.at_cursor(self._listed)

    def _show(self) -> None:
        kind, name = self.subject
        title = title_of(self.session.plan, kind, name)
        part = "the car" if self.subject == workings.WHOLE else title if kind == name else \
            f"{part_kind_words(kind)} {title}"
        limits = self.session.assessment.limit_set.name
        self.query_one("#subject", Static).update(
            line(("Working ", "bold"), (part, "bold"), (f"   {limits} limits   F4 another part", QUIET_STYLE)))
        figure, pane = self.figure, self.query_one("#work", VerticalScroll)
        if figure is None:
            words = f"✗ {self.fault}" if self.fault else "No figure holds all of these words." if self._groups \
                else "Nothing is worked out for this part."
            pane.query_one(Static).update(line(words))
            return
        self._address = figure.address
        room = max(30, pane.content_size.width - 1)
        text = self.work_out(lambda: working_text(explain(self.session.assessment, figure), room, mark))
        pane.query_one(Static).update(line(f"✗ {self.fault}") if text is None else painted(text))

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self._show()
        self.query_one("#work").scroll_home(animate=False)

    @on(OptionList.OptionSelected)
    @on(Input.Submitted)
    def _entered(self) -> None:
        self.action_alone()

    def key_down(self) -> None:
        self._step(1)

    def key_up(self) -> None:
        self._step(-1)

    def _step(self, by: int) -> None:
        """The next figure; where the working has the screen to itself, a line of it."""
        if self.has_class("-alone"):
            self.query_one("#work").scroll_relative(y=by, animate=False)
        elif by > 0:
            self.query_one(OptionList).action_cursor_down()
        else:
            self.query_one(OptionList).action_cursor_up()

    def key_pagedown(self) -> None:
        self.query_one("#work").scroll_page_down(animate=False)

    def key_pageup(self) -> None:
        self.query_one("#work").scroll_page_up(animate=False)

    def action_alone(self) -> None:
        """Give the working the whole screen, or bring the list back."""
        self.toggle_class("-alone")
        # At once, not when the line is next laid out: what is typed ahead must not go into a line that is not seen.
        self.set_focus(None if self.has_class("-alone") else self.query_one(Input))
        self.call_after_refresh(self._show)

    def action_other_part(self) -> None:
        answers = [Answer("\n".join(subject), f"{subject[0]} {subject[1]}" if subject[0] != subject[1] else subject[0],
                          words) for subject, words in workings.subjects(self.session.assessment)]

        def take(word: str) -> None:
            kind, _, name = word.partition("\n")
            self.subject, self._assessment, self._address = (kind, name), None, ""
            self.query_one(Input).value = ""
            self.refresh_plan()

        self.program.ask(Choose("The figures of which part?", answers, current="\n".join(self.subject)), take)

    def action_close(self) -> None:
        if self.has_class("-alone"):
            self.action_alone()
        else:
            self.dismiss(None)
