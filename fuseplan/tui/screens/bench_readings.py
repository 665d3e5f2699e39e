"""What is done with readings on the Bench screen: typed, asked about, kept, taken over, removed."""

from __future__ import annotations

from textual.widgets import Input

from fuseplan.bench.sheet import SheetRow
from fuseplan.bench.storing import NewReading, new_reading
from fuseplan.errors import FuseplanError
from fuseplan.papers.bench_words import said_words
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.widgets.bench_row import STYLES
from fuseplan.tui.widgets.entry_line import TypedLine
from fuseplan.workspace import bench


class BenchReadings(PlanScreen[None]):
    """The part of that screen that changes the plan."""

    asked: tuple[str, str] = ("", "")
    """Address and condition of the reading a diagnosis asked for."""

    @property
    def row(self) -> SheetRow | None:
        """The row under the cursor; the screen itself says which."""
        return None

    @property
    def has_target(self) -> bool:
        return self.row is not None and self.row.reading is not None

    def action_row(self, by: int) -> None:
        """Go up or down some rows; the screen itself does."""

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        row, text = self.row, event.value.strip()
        if row is None:
            return
        if not text:
            # A second press of Enter must not leave a row unread: the next reading would be stored at another one.
            if row.reading is None:
                self.say("Nothing is typed; ↓ goes on without a reading")
            else:
                self.action_row(1)
            return
        address, condition = row.point.address, row.condition
        if "=" in text:
            # A point that has no row: a diagnosis asks for such.
            address, _, text = (each.strip() for each in text.partition("="))
            condition = self.asked[1] if address == self.asked[0] else ""
        try:
            found = new_reading(self.session.assessment, address, text, condition or None, date=bench.today())
        except FuseplanError as error:
            self.say(f"✗ {error}")
            self._type_again()
            return
        if found.doubts:
            self._ask(found)
        else:
            self._keep(found)

    def _ask(self, found: NewReading) -> None:
        """Ask before something odd is stored."""

        def answered(answer: str | None) -> None:
            if answer == "store":
                self._keep(found)
            else:
                self._type_again()

        self.app.push_screen(Choose("Is that what the meter shows?", (
            Answer("again", "Type it again"),
            Answer("store", f"Store {found.reading.raw}", "it is what the meter shows")),
            words=". ".join(found.doubts), preset=False), answered)

    def _keep(self, found: NewReading) -> None:
        if not self.program.attempt(lambda: bench.keep_reading(self.session, found)):
            return
        self.query_one(TypedLine).value = ""
        before = self.row
        self.refresh_plan()
        now = self.row
        if now is not None and now.verdict is not None and before is not None and now.key == before.key:
            self.say(f"{now.number} {found.reading.raw}  {said_words(now.verdict)}", STYLES[now.verdict.level])
        self.action_row(1)

    def _type_again(self) -> None:
        """What was refused stays to be read; the next letter replaces it."""
        self.query_one(TypedLine).action_select_all()

    def action_accept(self) -> None:
        """Let the plan take over the reading of the row, after saying what that changes."""
        row = self.row
        if row is None or row.reading is None:
            self.say("Nothing has been read here yet")
            return
        try:
            found = bench.acceptance_of(self.session.assessment, row.point.address, row.condition)
        except FuseplanError as error:
            self.say(f"✗ {error}")
            return

        def answered(answer: str | None) -> None:
            if answer == "take" and self.program.attempt(lambda: bench.take_over(self.session, found),
                                                         "Taken over; Ctrl+Z brings the old figure back"):
                self.refresh_plan()

        odd = f" Look first: {found.question}." if found.question else ""
        answers = [Answer("take", "Take it over"), Answer("leave", "Keep it as a reading only")]
        self.app.push_screen(Choose("Take over into the plan?", answers[::-1] if odd else answers,
                                    words=f"{found.words}.{odd}", preset=not odd), answered)

    def action_remove_reading(self) -> None:
        """Remove the reading of the row."""
        row = self.row
        if row is None or row.reading is None:
            self.say("Nothing has been read here yet")
            return
        reading = row.reading
        self.program.attempt(lambda: bench.drop_reading(self.session, reading), "Removed; Ctrl+Z brings it back")
        self.refresh_plan()
