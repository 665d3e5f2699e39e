"""Pages to read: help with all keys, safety cautions."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from fuseplan.papers import cautions
from fuseplan.tui.actions import ACTIONS, SECTIONS, Where, actions_of
from fuseplan.tui.screens.leaving import Dialogue
from fuseplan.tui.widgets.box import Box, Words
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line, lines
from fuseplan.workspace.session import Session

MENU = next(action.key for action in ACTIONS if action.name == "menu")
"""The key of the menu of all actions."""
_SECTION_WORDS: dict[Where, str] = {
    "circuits": "Circuits", "form": "Forms", "library": "Library", "working": "Working",
    "supply": "Feeds and earth points",
    "report": "Reports", "measure": "Measure first", "limit_sets": "Limits side by side", "proposal": "Proposal",
    "devices": "Fuses in a short", "papers": "Papers", "looms": "Looms", "bench": "Bench",
    "ready": "Ready to power", "summary": "Summary",
    "main": "On every numbered screen", "everywhere": "Everywhere",
}


_PAGE, _PAPER = 84, 120
"""Columns that a page of text, and a paper, have room for at most: those of `Box` without its edges."""
_EDGES = 10
"""Columns of the window that a page leaves free, with its own edges."""


def page_room(window: int, is_paper: bool = False) -> int:
    """Columns for the lines of a page in a window so wide: a line folded for more would be folded once more."""
    return max(30, min(window - _EDGES, _PAPER if is_paper else _PAGE))


class Page(Dialogue[None]):
    """A text to scroll through; any of Escape, Enter and q closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,enter,q", "dismiss", "back", show=False)]

    def __init__(self, title: str, *contents: Content | Hanging, is_paper: bool = False) -> None:
        super().__init__()
        self._title = title
        self._contents = contents
        self._looks = "-wide -paper" if is_paper else "-wide"

    def compose(self) -> ComposeResult:
        with Box(self._title, "Esc closes", self._looks):
            yield Words(*self._contents, page=True)

    def on_mount(self) -> None:
        self.query_one(Words).focus()


def help_page(where: Where) -> Page:
    """All keys of a screen, then the signs, then where the limits come from."""
    parts: list[Content | Hanging] = []
    for section in SECTIONS[where]:
        parts.append(line((_SECTION_WORDS[section], "bold underline")))
        for action in ACTIONS:
            if action.where == section and (action.keys or action in actions_of(where)):
                parts.append(Hanging(line((f" {action.key or f'in {MENU}':<10} ", "bold $text-accent")),
                                     line(action.words)))
        parts.append(line(""))
    parts += [
        line(("Signs", "bold underline")),
        Hanging(line(" ✓ ok        "), line("passes, also with the worst-case current")),
        Hanging(line(" ◐ measure   "),
                line("passes with the current entered, fails with its worst case: measure it first")),
        Hanging(line(" ✗ FAILS     "), line("has a danger or a warning")),
        Hanging(line(" ? unknown   "), line("something is missing; nothing is guessed")),
        line(""),
        line(("Everything is done by mouse as well: ", "bold"),
             "click a key in the bottom line, a heading to sort, a finding to go to its field; F10 lists all actions."),
        line(("Verdicts name the published set of limits they rest on. Published sets disagree; choose one under "
              "vehicle, limits.", QUIET_STYLE)),
    ]
    return Page("Keys and signs", *parts)


def guide_page(session: Session) -> Page:
    """The first minutes, in the order in which somebody comes to them."""
    file = session.document.path
    steps = (
        ("This is the example car.", "Nothing you change here is written anywhere until you save it under a name "
         "(F12).") if file is None else
        ("This is your plan.", f"What you change is written to {file.name} when you save it (Ctrl+S); until then it "
                               "is stored separately, in case the program is interrupted."),
        ("Look at one circuit.", "Arrow keys move. Below the table are the fuse range, from the smallest for the load "
         "to the largest for the wire, and what is wrong, with fix and caution."),
        ("n", "goes to the next finding, g to the field that fixes it. Type another value: every verdict changes at "
         "once. Ctrl+Z undoes it."),
        ("a", "adds a circuit from the library. Its lengths are examples: measure along the path the wire will take."),
        ("2 to 9", "show feeds and earth points, charging, protection, the test sheet, the papers to build from, what "
         "other published limits say, what to measure first, and which fuse blows first. 0 lists the screens."),
        ("s", "shows the summary: what to do first, each line with the way to its place."),
        ("w", "shows the arithmetic behind a figure with its sources, p proposes sizes and ratings that pass."),
        ("Your own car:" if file is None else "Another car:",
         "leave with q and type  fuseplan new mycar.toml  – it asks what is in the car."),
        ("?", "shows the keys of the place you are in, F10 everything that can be done, ! the safety cautions."),
    )
    parts: list[Content] = []
    for number, (head, words) in enumerate(steps, 1):
        parts += [line((f"{number}  {head} ", "bold"), words), line("")]
    parts.append(line(("⚠ ", CAUTION_STYLE), (cautions.notice(), "bold")))
    return Page("First steps", lines(*parts))


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


def differences_page(title: str, differences: list[str]) -> Page:
    """What changed between two texts, line by line; plus and minus say it besides the colour."""
    styles = {"+": "$text-success", "-": "$text-error", "@": QUIET_STYLE}
    parts = [line((each, styles.get(each[:1], ""))) for each in differences]
    return Page(title, lines(*parts) if parts else line("The two say the same."))
