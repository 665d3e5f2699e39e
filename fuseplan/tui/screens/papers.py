"""Screen 6: choose papers, look at them as text, write them."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import Worker, get_current_worker

from fuseplan.checks.assessment import Assessment
from fuseplan.errors import FuseplanError
from fuseplan.papers.paper import Sheet
from fuseplan.planfile.files import clean_path
from fuseplan.quantities import writing
from fuseplan.tui.actions import bindings
from fuseplan.tui.painted import mark, painted
from fuseplan.tui.screens.base import PlanScreen, background
from fuseplan.tui.screens.dialogs import TICKED, UNTICKED, Answer, Ask, ChooseSome
from fuseplan.tui.screens.pages import Page, page_room
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.tui.words import QUIET_STYLE, line
from fuseplan.workspace import papers
from fuseplan.workspace.viewer import file_to_view, view

WIDE = 110
"""From this width on the preview stands beside the list, below it in a window of some height."""
HIGH = 30
_LIST = 36
_BESIDE = 10
"""Columns of tick, blanks and edges in the list."""
_WORDY = 24
"""Columns that what a paper is for must have in the list."""
_WIDEST = 120


class PapersScreen(PlanScreen[None]):
    """The papers with a tick each, a preview of the one under the cursor, the formats, and the way into a folder."""

    WHERE = "papers"
    FOCUSED = OptionList
    GO = "go_papers"
    BINDINGS = bindings("papers", "main")
    CSS = f"""
    PapersScreen #panes {{ height: 1fr; layout: vertical; }}
    PapersScreen OptionList {{ height: 1fr; width: 1fr; border: none; background: $background; }}
    PapersScreen #preview {{ height: 2fr; width: 1fr; padding: 0 1; border-top: solid $primary 50%; display: none; }}
    PapersScreen #preview Static {{ height: auto; }}
    PapersScreen.-high #preview {{ display: block; }}
    PapersScreen.-wide #preview {{ display: block; border-top: none; border-left: solid $primary 50%; height: 1fr; }}
    PapersScreen.-wide #panes {{ layout: horizontal; }}
    PapersScreen.-wide OptionList {{ width: {_LIST}; }}
    """

    def __init__(self) -> None:
        super().__init__()
        self._sheets = papers.offered()
        self._ticked = {sheet.name for sheet in self._sheets}
        self._formats = papers.usual_formats()
        self._first_label = 1
        self._made_of: object = None
        self._files: list[Path] = []
        """Files written last."""

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ProgressLine()
        with Container(id="panes"):
            yield OptionList(markup=False)
            with VerticalScroll(id="preview", can_focus=False):
                yield Static("", markup=False)

    def begin(self) -> None:
        if self.program.papers_chosen is not None:
            self._ticked = self.program.papers_chosen
        self._list()
        self.query_one(OptionList).highlighted = 0
        super().begin()

    @property
    def name_here(self) -> str:
        """The paper under the cursor."""
        return self._sheets[self.query_one(OptionList).highlighted or 0].name

    def show_plan(self) -> None:
        super().show_plan()
        self.set_class(self.app.size.width >= WIDE, "-wide")
        self.set_class(self.app.size.height >= HIGH, "-high")
        self._list()
        self._show()

    def _list(self) -> None:
        listed = self.query_one(OptionList)
        here, room = listed.highlighted, 0 if self.has_class("-wide") else self.app.size.width - _BESIDE
        listed.set_options([Option(self._entry(sheet, room)) for sheet in self._sheets])
        listed.highlighted = here
        unsaved = "   not saved: the papers show the plan as it is now" if self.session.is_unsaved else ""
        formats = ", ".join(self._formats) or "no format yet"
        label = "" if self._first_label == 1 else f", labels from {self._first_label}"
        chosen = f"{len(self._ticked)} of {len(self._sheets)} as {formats}{label}"
        self.query_one("#subject", Static).update(line(("Papers  ", "bold"), chosen, (unsaved, QUIET_STYLE)))

    def _entry(self, sheet: Sheet, room: int) -> Content:
        """Tick, title, and what the paper is for where there is room for more than its beginning."""
        wide = max(len(each.title) for each in self._sheets)
        words = line((sheet.words, QUIET_STYLE)).truncate(max(0, room - wide), ellipsis=True)
        entry = f"{TICKED if sheet.name in self._ticked else UNTICKED} {sheet.title}"
        return line(f"{entry:<{wide + 6}}") + words if room - wide >= _WORDY else line(entry)

    def _show(self) -> None:
        """Make the preview anew where the paper, the plan or the room is another."""
        pane = self.query_one("#preview")
        room = min(_WIDEST, max(30, self.app.size.width - (_LIST if self.has_class("-wide") else 0) - 5))
        made_of = self.session.assessment, self.name_here, room
        if (self.has_class("-wide") or self.has_class("-high")) and made_of != self._made_of:
            self._made_of = made_of
            pane.scroll_home(animate=False)
            self._preview(*made_of)

    @background("preview")
    def _preview(self, assessment: Assessment, name: str, room: int) -> None:
        worker = get_current_worker()
        text = papers.preview(assessment, name, room, mark)
        if not worker.is_cancelled:
            self.app.call_from_thread(self.query_one("#preview Static", Static).update, painted(text))

    def show_fault(self) -> None:
        self.query_one("#preview Static", Static).update(f"✗ {self.fault}")

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self._show()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_read()

    def action_tick(self) -> None:
        """Choose the paper under the cursor, or leave it out."""
        self._ticked = self.program.papers_chosen = self._ticked ^ {self.name_here}
        self._list()

    def action_tick_all(self) -> None:
        """Tick all papers, or none where all are."""
        self._ticked = set() if len(self._ticked) == len(self._sheets) else {sheet.name for sheet in self._sheets}
        self.program.papers_chosen = self._ticked
        self._list()

    def action_read(self) -> None:
        """The paper under the cursor on the whole screen."""
        room = page_room(self.app.size.width, is_paper=True)
        name = self.name_here
        text = self.work_out(lambda: papers.preview(self.session.assessment, name, room, mark))
        if text is not None:
            title = next(sheet.title for sheet in self._sheets if sheet.name == name)
            self.app.push_screen(Page(title, painted(text), is_paper=True))

    def action_choose_formats(self) -> None:
        """Choose the formats to write."""

        def take(words: list[str]) -> None:
            self._formats = words
            self._list()

        answers = [Answer(each.name, each.name, each.words) for each in papers.formats_offered()]
        self.program.ask(ChooseSome("Formats", answers, self._formats), take)

    def action_first_label(self) -> None:
        """Ask for the first free label of the sheet in the printer."""

        def refuse(text: str) -> str:
            is_number = text.isascii() and text.isdigit() and len(text) < 6 and int(text) > 0
            return "" if is_number else "Accepted is a whole number from 1"

        def take(text: str) -> None:
            self._first_label = int(text)
            self._list()

        self.program.ask(Ask("First free label", str(self._first_label), "Counted row by row on the sheet in the "
                             "printer", refuse=refuse), take)

    def action_write(self) -> None:
        """Ask for the folder, then write what is ticked."""
        if not self._ticked or not self._formats:
            self.say("Nothing to write: tick a paper with Space, a format with f")
            return
        if self.query_one(ProgressLine).is_busy:
            self.say("Still writing; Esc stops it")
            return
        folder = self.program.papers_folder or clean_path(papers.usual_folder(self.session.document.path).absolute())
        self.program.ask(Ask("Write the papers", folder, "Folder; files there that fuseplan did not write stay as they "
                             "are"), self._write_to)

    def _write_to(self, folder: str) -> None:
        if folder.strip():
            self.program.papers_folder = folder.strip()
            self.query_one(ProgressLine).say("Writing …", 0.0)
            names = [sheet.name for sheet in self._sheets if sheet.name in self._ticked]
            self._write(self.session.assessment, names, list(self._formats), folder.strip())

    @background("writing")
    def _write(self, assessment: Assessment, names: list[str], formats: list[str], folder: str) -> None:
        worker, progress = get_current_worker(), self.query_one(ProgressLine)
        files: list[Path] = []
        old, error = 0, ""
        try:
            writing = papers.Writing(assessment, names, formats, folder, first_label=self._first_label)
            with closing(writing.paths()) as paths:
                for path in paths:
                    files.append(path)
                    progress.tell(worker, f"{len(files)} written, last {clean_path(path.name)}",
                                  len(files) / writing.about)
                    if worker.is_cancelled:
                        break
            old = len(writing.left)
        except FuseplanError as failed:
            error = str(failed)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._written, worker, files, old, clean_path(folder), error)

    def _written(self, worker: Worker[None], written: list[Path], old: int, folder: str, error: str) -> None:
        if worker.is_cancelled:
            return
        self.query_one(ProgressLine).done()
        self._files = written
        files = writing.counted(len(written), "file")
        still = f"; from an earlier run, perhaps out of date: {old} more" if old else ""
        self.say(f"✗ {error} ({files} written before)" if error else f"{files} written to {folder}{still}")

    def action_view(self) -> None:
        """Open the paper under the cursor, as it was written, in the system's viewer."""
        path = file_to_view(self._files, self.name_here)
        if path is None:
            self.say("Write this paper first (e), as PDF or HTML: then this key opens it")
        elif self.app.is_web or self.app.is_headless:
            self.say(f"It is in {clean_path(path)}; nothing is opened on the machine from a browser")
        else:
            self.program.attempt(lambda: view(path), f"Opened in the system's viewer: {clean_path(path)}")

    def action_close(self) -> None:
        """Stop writing, or go back to the circuits."""
        if self.stop("writing"):
            self.say("Writing stopped; what was written is whole")
        else:
            self.dismiss(None)
