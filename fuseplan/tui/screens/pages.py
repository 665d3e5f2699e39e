"""Pages to read: help with all keys, safety cautions."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from fuseplan.papers import cautions
from fuseplan.tui.actions import ACTIONS, SECTIONS, Where
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line, lines

_SECTION_WORDS: dict[Where, str] = {
    "circuits": "Circuits", "form": "Forms", "library": "Library", "working": "Working",
    "supply": "Feeds and earths",
    "report": "Reports", "measure": "Measure first", "guidances": "Guidance side by side", "proposal": "Proposal",
    "devices": "Fuses in a short", "main": "On every numbered screen", "everywhere": "Everywhere",
}


class Page(ModalScreen[None]):
    """A text to scroll through; any of Escape, Enter and q closes it."""

    CSS = """
    Page { align: center middle; background: $background 60%; }
    Page > Vertical { width: 90; max-width: 98%; height: auto; max-height: 96%; padding: 0 1; background: $surface;
        border: round $primary; border-title-style: bold; }
    Page VerticalScroll { height: auto; max-height: 100%; scrollbar-size-vertical: 1; }
    Page VerticalScroll > Static { height: auto; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,enter,q", "dismiss", "back", show=False)]

    def __init__(self, title: str, content: Content) -> None:
        super().__init__()
        self._title = title
        self._content = content

    def compose(self) -> ComposeResult:
        with Vertical() as box:
            box.border_title = line(self._title).markup
            box.border_subtitle = "Esc closes"
            with VerticalScroll():
                yield Static(self._content, markup=False)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def help_page(where: Where) -> Page:
    """All keys of a screen, then the signs, then where the limits come from."""
    parts: list[Content] = []
    for section in SECTIONS[where]:
        parts.append(line((_SECTION_WORDS[section], "bold underline")))
        for action in ACTIONS:
            if action.where == section:
                keys = action.key
                parts.append(line((f" {keys:<10}", "bold $text-accent"), " ", action.words))
        parts.append(line(""))
    parts += [
        line(("Signs", "bold underline")),
        line(" ✓ ok        passes, also at the upper bound of how the current is known"),
        line(" ◐ measure   passes as entered, may fail within the tolerance: measure it first"),
        line(" ✗ FAILS     a danger or a warning stands against it"),
        line(" ? unknown   something is missing; nothing is guessed"),
        line(""),
        line(("Everything is done by mouse as well: ", "bold"),
             "click a key in the bottom line, a heading to sort, a finding to go to its field; F10 lists all actions."),
        line(("Verdicts name the published set of limits they rest on. Published sets disagree; choose one under "
              "vehicle, guidance.", QUIET_STYLE)),
    ]
    return Page("Keys and signs", lines(*parts))


def cautions_page() -> Page:
    """The safety cautions by topic, and where this program stops."""
    parts: list[Content] = [line((cautions.notice(), "bold")), line(cautions.stop()), line("")]
    for topic in cautions.cautions():
        parts += [
            line(("⚠ ", CAUTION_STYLE), (topic.title, "bold")),
            line(f"  {topic.text}"),
            line((f"  Source: {topic.source}", QUIET_STYLE)),
        ]
    return Page("Safety cautions", lines(*parts))
