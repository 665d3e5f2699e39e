"""One finding that is not about a circuit, with the way to where it is fixed."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from fuseplan.checks.rule import Finding
from fuseplan.papers.findings import fix_words
from fuseplan.plan.references import part_kind_words
from fuseplan.tui.layout import LIST
from fuseplan.tui.screens.leaving import Dialogue
from fuseplan.tui.widgets.box import Box, Words
from fuseplan.tui.words import finding_content
from fuseplan.workspace.findings import subject_words
from fuseplan.workspace.session import Session


class FindingPage(Dialogue[tuple[str, Finding] | None]):
    """Gives ("field", finding), ("working", finding), ("next", finding), or None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "back", show=False), Binding("n", "answer('next')", show=False),
        Binding("g", "answer('field')", show=False), Binding("w", "answer('working')", show=False),
    ]

    def __init__(self, session: Session, finding: Finding) -> None:
        super().__init__()
        self._session = session
        self._finding = finding

    def compose(self) -> ComposeResult:
        subject = subject_words(self._session, self._finding)
        with Box(f"{part_kind_words(self._finding.subject_kind)}: {subject}", "Esc goes back"):
            yield Words(finding_content(self._finding, fix_words(self._finding, self._session.assessment)))
            yield OptionList(Option("g  Go to the field that fixes it"), Option("w  Show the arithmetic behind it"),
                             Option("n  Next finding"), Option("Esc  Back"), classes=LIST, markup=False)

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def action_answer(self, word: str) -> None:
        self.dismiss((word, self._finding))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        words = ("field", "working", "next", None)
        word = words[event.option_index]
        self.dismiss(None if word is None else (word, self._finding))
