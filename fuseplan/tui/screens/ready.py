"""Ready to power: what is open before each step, each leading to where it is settled."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from fuseplan.bench.ready import KIND_WORDS, NO_CLAIM, STAGES, OpenItem, ready
from fuseplan.papers.bench_text import ready_lines
from fuseplan.plan.references import ENTRIES, Path
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import COPIED, PlanScreen
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.widgets.reading_list import ReadingList
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line
from fuseplan.workspace import bench

_STYLES = {"danger": "bold $text-error", "fault": "bold $text-error", "unknown": "bold $text-warning",
           "unread": "bold $text-accent", "unsigned": "bold $text-primary"}


class ReadyScreen(PlanScreen[tuple[str, str] | None]):
    """The list; a row of the test sheet that was chosen is the answer."""

    WHERE = "ready"
    FOCUSED = OptionList
    BINDINGS = bindings("ready")
    CSS = """
    ReadyScreen OptionList { height: 1fr; border: none; background: $background; padding: 0 1; }
    ReadyScreen OptionList > .option-list--option-disabled { color: $foreground; }
    ReadyScreen #caution { max-height: 3; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._items: list[OpenItem | None] = []

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ReadingList(markup=False)
        yield Words(line(("⚠ ", CAUTION_STYLE), NO_CLAIM), own_id="caution")

    @property
    def item(self) -> OpenItem | None:
        """The item under the cursor."""
        return self.at_cursor(self._items)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        return None if self.item is None or self.item.subject[0] not in ENTRIES else self.item.subject

    def show_plan(self) -> None:
        super().show_plan()
        listed = self.query_one(OptionList)
        found, here = ready(self.session.assessment), listed.highlighted
        self.query_one("#subject", Static).update(line(("Ready to power  ", "bold"), f"{len(found)} open"))
        widest = max((len(KIND_WORDS[item.kind]) for item in found), default=0)
        options: list[Option] = []
        self._items = []
        for stage in STAGES:
            mine = [item for item in found if item.stage == stage.key]
            self._items.append(None)
            options.append(Option(line((stage.title, "bold $text-accent"), (
                f"  {len(mine)} open" if mine else "  nothing open", QUIET_STYLE)), disabled=True))
            for item in mine:
                self._items.append(item)
                options.append(Option(Hanging(line((f"  {KIND_WORDS[item.kind]:<{widest}} ", _STYLES[item.kind])),
                                              line(item.words))))
        listed.set_options(options)
        able = [at for at, item in enumerate(self._items) if item is not None]
        if able:
            listed.highlighted = min(able, key=lambda at: abs(at - (here or 0)))

    def show_fault(self) -> None:
        self._items = []
        self.query_one(OptionList).clear_options()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_go()

    def action_go(self) -> None:
        """Go to where the item is settled; sign for what is signed for."""
        item = self.item
        if item is None:
            return
        if item.key:
            self._sign(item)
        elif item.row is not None:
            self.dismiss(item.row)
        else:
            self.program.open_form(_form_of(item.subject))

    def _sign(self, item: OpenItem) -> None:
        """Ask, with no answer chosen to begin with: a second press of Enter, or one held down, signs for nothing."""

        def answered(answer: str | None) -> None:
            if answer == "sign" and self.program.attempt(lambda: bench.sign_or_not(self.session, item.key),
                                                         "Signed for today; Ctrl+Z takes it back"):
                self.refresh_plan()

        self.app.push_screen(Choose("Sign for this today?", (
            Answer("sign", "Sign", "it has been done and looked at on this car"),
            Answer("open", "Leave it open")), words=item.words, preset=False), answered)

    def action_copy(self) -> None:
        """Copy the list as plain text."""
        self.copy_text("\n".join(ready_lines(ready(self.session.assessment), COPIED)))


def _form_of(subject: tuple[str, str]) -> Path:
    """The form of what an item is about: a named part, a reading by its number, one of its kind, or the whole car."""
    kind, name = subject
    if kind == "reading":
        return kind, int(name)
    return subject if kind in ENTRIES else ("vehicle",) if kind == "plan" else (kind,)
