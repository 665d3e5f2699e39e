"""What all screens have in common: head, key bar, and showing the session again when it changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, ParamSpec, TypeVar, cast

from textual import work
from textual.app import ComposeResult
from textual.content import Content
from textual.layout import Layout
from textual.widget import Widget
from textual.widgets import OptionList
from textual.worker import Worker, WorkerState

from fuseplan.checks.rule import Finding
from fuseplan.errors import FuseplanError
from fuseplan.plan.references import Path
from fuseplan.planfile import crash_report
from fuseplan.tui.actions import Where, screen_words
from fuseplan.tui.layout import GivingWay
from fuseplan.tui.screens.leaving import OnceLeft
from fuseplan.tui.widgets.head import Head
from fuseplan.tui.widgets.key_bar import KeyBar
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.tui.words import line
from fuseplan.workspace.session import Session

if TYPE_CHECKING:
    from fuseplan.tui.app import FuseplanApp

Answer = TypeVar("Answer")
Result = TypeVar("Result")
Listed = TypeVar("Listed")
Arguments = ParamSpec("Arguments")
COPIED = 100
"""Columns of what is copied."""
NOT_COPIED = "Not copied: this is still being worked out"


def background(group: str = "default") -> Callable[[Callable[Arguments, None]], Callable[Arguments, Worker[None]]]:
    """A decorator for a screen's long work, done in a thread; started again, it puts an end to the one before.

    Left to itself, Textual describes the work by writing out its arguments, and a whole assessment takes long to write.
    """
    return work(thread=True, exclusive=True, group=group, description="long work")


class PlanScreen(OnceLeft[Answer]):
    """A screen on the open plan. `refresh_plan` is called whenever the plan may have changed; what there is to show,
    subclasses say in `show_plan`."""

    DEFAULT_CSS = """
    PlanScreen { overflow: hidden; }
    PlanScreen.-low Head { height: 1; }
    PlanScreen #subject { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    """
    WHERE: ClassVar[Where] = "everywhere"
    _fault_at = -1
    _shown_at = -1
    fault = ""
    """Why not everything shown here can be worked out; empty where it can."""
    FOCUSED: ClassVar[type[Widget] | None] = None
    """The widget that takes the keys as the screen opens."""
    GO: ClassVar[str] = ""
    """The action that goes to this screen, where it is a numbered one."""

    def compose(self) -> ComposeResult:
        yield Head()
        yield from self.parts()
        yield KeyBar(self.WHERE)

    def parts(self) -> ComposeResult:
        """What stands between head and key bar; of subclasses."""
        yield from ()

    @property
    def layout(self) -> Layout:
        return GivingWay()

    @property
    def program(self) -> FuseplanApp:
        """The program the screen belongs to."""
        return cast("FuseplanApp", self.app)

    @property
    def session(self) -> Session:
        """The open plan."""
        return self.program.session

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        """Kind and name of the part under the cursor, whose figures `w` explains; None: of the whole car."""
        return None

    @property
    def has_target(self) -> bool:
        """Whether there is something to do what must not be done twice by a held key to; else it is not asked about."""
        return True

    @property
    def finding_under_cursor(self) -> Finding | None:
        """The finding one is looking at; None without one."""
        return None

    def at_cursor(self, listed: Sequence[Listed]) -> Listed | None:
        """What the line of the list under the cursor is about, of all its lines; None without a cursor."""
        at = self.query_one(OptionList).highlighted
        return listed[at] if at is not None and at < len(listed) else None

    def call_after_refresh(self, callback: Callable[..., Any], *args: Any, **kwargs: Any) -> bool:
        """As the base does it; what was left to do on a screen that was closed meanwhile is not done."""

        def still_open() -> Any:
            return callback(*args, **kwargs) if self.program.is_open(self) else None

        return super().call_after_refresh(still_open)

    def copy_text(self, text: str) -> None:
        """Copy a text, and say so: whether the terminal takes it cannot be known."""
        self.app.copy_to_clipboard(text)
        self.say("Copied as text, if the terminal lets programs copy")

    def refresh_plan(self) -> None:
        """Show the plan as it is now; what cannot be worked out is said, and the head shows it as long as it holds."""
        if not self.is_left:
            if self._fault_at != self.session.revision:
                self.fault = ""
            self._shown_at = self.session.revision
            self.work_out(self.show_plan)

    def show_plan(self) -> None:
        """Show the plan as it is now; subclasses add what they show of it."""
        for head in self.query(Head):
            head.show(self.session, screen_words(self.GO) if self.GO else "", bool(self.fault))

    def work_out(self, make: Callable[[], Result]) -> Result | None:
        """What a function gives; None where the program failed at it, which is said and written down.

        The one way in which screens go on without a figure: nothing is changed in the plan by it.
        """
        try:
            return make()
        except Exception as error:  # whatever it is, the other figures are still there to be read
            self._have_fault(error)
            return None

    def _have_fault(self, error: BaseException) -> None:
        self.fault = str(error) if isinstance(error, FuseplanError) else crash_report.not_worked_out(error)
        self._fault_at = self.session.revision
        for head in self.query(Head):
            head.mark_fault()
        self.say(f"✗ {self.fault}")
        self.show_fault()

    @property
    def fault_line(self) -> Content:
        """Why it cannot be worked out, in the place of what cannot."""
        return line((f"✗ {self.fault}", "bold $text-error"))

    def show_fault(self) -> None:
        """Take away what would still stand there of the plan before; screens that show nothing of the kind need not."""

    def run_worker(self, *args: Any, **kwargs: Any) -> Worker[Any]:
        """As the base does it; work away from the keys that fails is said like any other."""
        return super().run_worker(*args, **{**kwargs, "exit_on_error": False})

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        error = event.worker.error
        if event.state is WorkerState.ERROR and error is not None:
            for each in self.query(ProgressLine):
                each.done()
            self._have_fault(error)

    def stop(self, group: str) -> bool:
        """Stop the work of a group, see `background`; False where nothing is going on."""
        line = self.query_one(ProgressLine)
        busy = line.is_busy
        self.workers.cancel_group(self, group)
        line.done()
        return busy

    def action_close(self) -> None:
        self.dismiss(None)

    def action_working(self) -> None:
        """Show the figures of the part under the cursor with their working."""
        self.program.action_working()

    @property
    def field(self) -> Path | None:
        """Path of what a form has under the cursor; screens without one have none."""
        return None

    def leave_field(self) -> None:
        """What is being typed counts, as it is about to be saved or left; screens without a field have none."""

    def say(self, text: str, style: str = "") -> None:
        """Show a message in the bottom line."""
        for bar in self.query(KeyBar):
            bar.say(text, style)

    def hush(self) -> None:
        """Take a message in the bottom line away: it no longer holds."""
        for bar in self.query(KeyBar):
            bar.quiet()

    def begin(self) -> None:
        """Show the plan for the first time; subclasses add what else is done as they open.

        Textual calls `on_mount` of every class a screen derives from: called by one of them as well, it would show the
        plan twice.
        """
        self.refresh_plan()
        if self.FOCUSED is not None:
            self.query_one(self.FOCUSED).focus()

    def on_mount(self) -> None:
        self.begin()

    def on_screen_resume(self) -> None:
        if self.times_in_front > 1 or self._shown_at != self.session.revision:
            self.refresh_plan()

    def on_resize(self) -> None:
        self.fit()
        self.refresh_plan()
