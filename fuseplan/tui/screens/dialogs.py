"""Small questions: choose one of several, choose some, type a text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from fuseplan.records import dataclass
from fuseplan.tui.layout import LIST
from fuseplan.tui.screens.leaving import Dialogue
from fuseplan.tui.widgets.box import Box, Words
from fuseplan.tui.widgets.entry_line import TypedLine
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.words import QUIET_STYLE, line

if TYPE_CHECKING:
    from textual.app import App

TICKED, UNTICKED = "[x]", "[ ]"
_MANY = 9
"""Lists longer than this have a line to type into; shorter ones are narrowed by typing all the same."""
_CHOOSES = "Enter chooses, Esc goes back"
_POINTS = "↑ ↓ point, Enter accepts, Esc goes back"
_CHOOSE_FIRST = "Nothing is selected yet: press ↓, then Enter"


@dataclass(frozen=True)
class Answer:
    """One answer of a `Choose`: what is returned, what is shown, and what it means; before it, in a column of their
    own, the keys that do the same."""

    value: str
    label: str
    meaning: str = ""
    keys: str = ""


class Answers(OptionList):
    """The answers; Enter without one under the cursor says what to do first."""

    def action_select(self) -> None:
        super().action_select()
        if self.highlighted is None and self.option_count:
            self.screen.query_one(Box).border_subtitle = _CHOOSE_FIRST


class Choose(Dialogue[str | None]):
    """One of several answers; Escape gives None. Long lists are narrowed by typing.

    Without `preset` nothing is chosen to begin with, and letters choose nothing: what is typed on into a field that
    asks what was meant must not answer it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "back", show=False), Binding("up", "list('cursor_up')", show=False),
        Binding("down", "list('cursor_down')", show=False), Binding("pageup", "list('page_up')", show=False),
        Binding("pagedown", "list('page_down')", show=False),
    ]

    def __init__(self, title: str, answers: Sequence[Answer], words: str = "", current: str = "",
                 preset: bool = True) -> None:
        super().__init__()
        self._title = title
        self._answers = list(answers)
        self._words = words
        self._preset = preset
        self._current = current
        self._listed: list[Answer] = []
        self._typed = ""

    def compose(self) -> ComposeResult:
        with Box(self._title, _CHOOSES if self._preset else _POINTS):
            if self._words:
                yield Words(line(self._words))
            if len(self._answers) > _MANY:
                yield TypedLine(placeholder="type to narrow the list")
            yield Answers(classes=LIST, markup=False)

    def on_mount(self) -> None:
        self._list("")
        at = next((index for index, answer in enumerate(self._listed) if answer.value == self._current), 0)
        self.query_one(OptionList).highlighted = at if self._preset else None
        (self.query(Input).first(Input) if self.query(Input) else self.query_one(OptionList)).focus()

    def _list(self, typed: str) -> None:
        self._listed = [answer for answer in self._answers if self._fits(answer, typed)]
        options = self.query_one(OptionList)
        options.set_options([Option(_prompt(answer)) for answer in self._listed] or [Option(line(
            (f"Nothing here matches “{typed.strip()}”: Ctrl+U clears it", QUIET_STYLE)), disabled=True)])
        if self._listed:
            options.highlighted = 0

    @staticmethod
    def _fits(answer: Answer, typed: str) -> bool:
        text = f"{answer.keys} {answer.label} {answer.meaning}".casefold()
        return all(word in text for word in typed.casefold().split())

    def on_key(self, event: events.Key) -> None:
        """Letters narrow a list that has no line for them; what fits nothing is not taken."""
        if self.query(Input):
            return
        if not self._preset:
            if event.is_printable:
                event.stop()
            return
        text = self._typed[:-1] if event.key == "backspace" else \
            self._typed + (event.character or "") if event.is_printable else None
        if text is None:
            return
        event.stop()
        box = self.query_one(Box)
        if any(self._fits(answer, text) for answer in self._answers):
            self._typed = text
            self._list(text)
            box.narrowed_by(text)
            box.border_subtitle = _CHOOSES
        else:
            box.border_subtitle = line(f"Nothing here matches “{text.strip()}”").markup

    def on_input_changed(self, event: Input.Changed) -> None:
        self._list(event.value)

    def on_input_submitted(self) -> None:
        at = self.query_one(OptionList).highlighted
        if at is not None and at < len(self._listed):
            self.dismiss(self._listed[at].value)

    async def action_list(self, way: str) -> None:
        """Move in the list while the text above it has the keyboard."""
        await self.query_one(OptionList).run_action(way)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._listed[event.option_index].value)


class ChooseSome(Dialogue[list[str] | None]):
    """Some of several words: Space or a click ticks, Enter or the last line takes what is ticked, Escape gives None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "back", show=False), Binding("space", "tick", show=False),
        Binding("enter", "take", show=False, priority=True),
    ]

    def __init__(self, title: str, answers: Sequence[Answer], chosen: Sequence[str]) -> None:
        super().__init__()
        self._title = title
        self._answers = list(answers)
        self._chosen = list(chosen)
        self._ticked = [each.value for each in answers if each.value in chosen]

    def compose(self) -> ComposeResult:
        with Box(self._title, "Space ticks, Enter accepts, Esc goes back"):
            yield OptionList(classes=LIST, markup=False)

    def on_mount(self) -> None:
        self._show()
        self.query_one(OptionList).highlighted = 0
        self.query_one(OptionList).focus()

    def _show(self) -> None:
        options = self.query_one(OptionList)
        here = options.highlighted
        ticks = [Option(Hanging(line(TICKED if each.value in self._ticked else UNTICKED, " "), _words(each)))
                 for each in self._answers]
        options.set_options([*ticks, Option("Accept what is ticked")])
        options.highlighted = here

    def action_tick(self) -> None:
        at = self.query_one(OptionList).highlighted
        if at is not None and at < len(self._answers):
            word = self._answers[at].value
            self._ticked = [each for each in self._ticked if each != word] if word in self._ticked \
                else [*self._ticked, word]
            self._show()

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        if event.option_index < len(self._answers):
            self.action_tick()
        else:
            self.action_take()

    def action_take(self) -> None:
        known = {each.value for each in self._answers}
        kept = [word for word in self._chosen if word in self._ticked or word not in known]
        self.dismiss(kept + [each.value for each in self._answers if each.value in self._ticked
                             and each.value not in kept])


class Ask(Dialogue[str | None]):
    """A text; `refuse` says why one is not accepted, or nothing. Escape gives None."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "back", show=False)]

    def __init__(self, title: str, value: str = "", words: str = "",
                 refuse: Callable[[str], str] | None = None, live: Callable[[str], None] | None = None) -> None:
        super().__init__()
        self._title = title
        self._value = value
        self._words = words
        self._refuse = refuse
        self._live = live

    def compose(self) -> ComposeResult:
        with Box(self._title, "Enter accepts, Esc goes back"):
            if self._words:
                yield Words(line(self._words))
            yield TypedLine(self._value)
            yield Static("", classes="message", markup=False)

    def on_input_changed(self, event: Input.Changed) -> None:
        reason = self._refuse(event.value) if self._refuse and event.value != self._value else ""
        self.query_one(".message", Static).update(line(reason))
        if self._live is not None:
            self._live(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        reason = self._refuse(event.value) if self._refuse else ""
        if reason:
            self.query_one(".message", Static).update(line(reason))
        else:
            self.dismiss(event.value)


def ask_filter(app: App[int], before: str, words: str, narrow: Callable[[str], None],
               back: Callable[[], object]) -> None:
    """Ask which words a list is narrowed to; it follows as they are typed. Given up, it is as it was `before`, and
    `back` puts its cursor where that was."""
    def answered(text: str | None) -> None:
        narrow(before if text is None else text)
        if text is None:
            back()

    app.push_screen(Ask("Filter", before, words, live=narrow), answered)


def _words(answer: Answer) -> Content:
    return line(answer.label, "  ", (answer.meaning, QUIET_STYLE)) if answer.meaning else line(answer.label)


def _prompt(answer: Answer) -> Content | Hanging:
    return Hanging(line(f"{answer.keys:<9} "), _words(answer)) if answer.keys else _words(answer)
