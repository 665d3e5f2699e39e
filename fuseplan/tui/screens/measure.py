"""What to measure first, and how often each verdict fails over many samples of the currents."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import Worker, get_current_worker

from fuseplan.advice.evidence import Reading, Sample, measure_first, not_asked, sample
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.evidence_text import CAUTION, left_out_words, measure_lines, reading_lines, sample_lines
from fuseplan.tui.actions import bindings
from fuseplan.tui.painted import mark, painted
from fuseplan.tui.screens.base import COPIED, NOT_COPIED, PlanScreen, background
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.tui.widgets.reading_list import ReadingList
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line

SAMPLES = 10_000
WIDE = 118


class MeasureScreen(PlanScreen[None]):
    """The readings that can change a verdict, each with instrument, place and condition; the samples on a key."""

    WHERE = "measure"
    FOCUSED = OptionList
    GO = "go_measure"
    BINDINGS = bindings("measure", "main")
    CSS = """
    MeasureScreen #panes { height: 1fr; layout: vertical; }
    MeasureScreen OptionList { height: 1fr; width: 1fr; border: none; background: $background; }
    MeasureScreen OptionList > .option-list--option-highlighted { background: $panel; color: $foreground;
        text-style: none; }
    MeasureScreen OptionList > .option-list--option-disabled { color: $foreground; }
    MeasureScreen #samples { height: 1fr; width: 1fr; padding: 0 1; border-top: solid $primary 50%; display: none; }
    MeasureScreen #samples.-shown { display: block; }
    MeasureScreen #samples Static { height: auto; }
    MeasureScreen.-wide #panes { layout: horizontal; }
    MeasureScreen.-wide #samples { border-top: none; border-left: solid $primary 50%; }
    MeasureScreen #caution { max-height: 3; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._assessment: Assessment | None = None
        self._read_of: Assessment | None = None
        self._readings: tuple[Reading, ...] = ()
        self._sample: Sample | None = None
        self._room = 0

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ProgressLine()
        with Container(id="panes"):
            yield ReadingList(markup=False)
            with VerticalScroll(id="samples"):
                yield Static("", markup=False)
        yield Words(line(("⚠ ", CAUTION_STYLE), CAUTION), own_id="caution")

    @property
    def _is_read(self) -> bool:
        """Whether the readings are those of the plan as it is now."""
        return self._read_of is self._assessment is not None

    @property
    def _words(self) -> str:
        """What is listed; that there is nothing to measure is said only once that is known."""
        if self._is_read and self._readings:
            return f"{len(self._readings)} currents that can change a verdict, worst first"
        if self.fault:
            return f"✗ {self.fault}"
        return "No uncertain current can change a verdict" if self._is_read else "Working out what to measure"

    @property
    def reading(self) -> Reading | None:
        """The reading under the cursor."""
        return self.at_cursor(self._readings)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        return None if self.reading is None else ("circuit", self.reading.circuit)

    def show_plan(self) -> None:
        super().show_plan()
        self.set_class(self.app.size.width >= WIDE, "-wide")
        now = self.session.assessment
        if now is not self._assessment:
            if self._sample is not None:
                self.say("The plan changed: r samples it anew")
            self._assessment, self._sample = now, None
            self.stop("samples")
            self._read(now)
        self.call_after_refresh(self._show)

    @background("readings")
    def _read(self, assessment: Assessment) -> None:
        found = measure_first(assessment)
        if not get_current_worker().is_cancelled:
            self.app.call_from_thread(self._have, found)

    def show_fault(self) -> None:
        self._sample = None
        if self._read_of is not self._assessment:
            self._readings, self._room = (), 0
        self._show()

    def _have(self, found: tuple[Reading, ...]) -> None:
        self._readings, self._room, self._read_of = found, 0, self._assessment
        self._show()

    def _show(self) -> None:
        listed, samples = self.query_one(OptionList), self.query_one("#samples")
        samples.set_class(self._sample is not None, "-shown")
        room = max(30, listed.size.width - 4)
        limit_set = self.session.assessment.limit_set.name
        left_out = "" if self._assessment is None or self.fault else left_out_words(not_asked(self._assessment))
        self.query_one("#subject", Static).update(
            line(("Measure first  ", "bold"), self._words, (f"   {limit_set} limits  {left_out}", QUIET_STYLE)))
        if room != self._room:
            self._room, here = room, listed.highlighted
            listed.set_options([Option(painted("\n".join(reading_lines(each, self.session.plan, number, room))))
                                for number, each in enumerate(self._readings, 1)])
            if self._readings:
                listed.highlighted = min(here or 0, len(self._readings) - 1)
        if self._sample is not None and self._assessment is not None:
            wide = max(30, samples.size.width - 4) if samples.size.width else room
            samples.query_one(Static).update(
                painted("\n".join(sample_lines(self._sample, self._assessment, wide, mark))))

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_to_field()

    def action_to_field(self) -> None:
        """The form of the load, where what the meter shows is typed."""
        found = self.reading
        if found is not None:
            root = ("circuit", found.circuit)
            load = self.session.plan.circuit[found.circuit].load[found.load]
            self.program.open_form(root, (*root, "load", found.load, "power" if load.power is not None else "current"))

    def action_sample(self) -> None:
        """Judge the plan with its currents drawn at random; asked again while it runs, it goes on."""
        if not self.query_one(ProgressLine).is_busy:
            self.query_one(ProgressLine).say(f"Sampling 0 of {SAMPLES:,}", 0.0)
            self._draw(self.session.assessment)

    @background("samples")
    def _draw(self, assessment: Assessment) -> None:
        worker, progress_line = get_current_worker(), self.query_one(ProgressLine)

        def progress(done: int, count: int) -> None:
            progress_line.tell(worker, f"Sampling {done:,} of {count:,}", done / count)

        found = sample(assessment, SAMPLES, progress=progress, cancelled=lambda: worker.is_cancelled)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._drawn, found, worker)

    def _drawn(self, found: Sample, worker: Worker[None]) -> None:
        if worker.is_cancelled:
            return
        self.query_one(ProgressLine).done()
        self._sample = found
        self._show()
        # The pane has its width only now.
        self.call_after_refresh(self._show)

    def action_copy(self) -> None:
        """Copy the list and the samples as plain text."""
        if not self._is_read:
            self.say(NOT_COPIED)
            return
        parts = measure_lines(self._readings, self.session.plan, COPIED)
        if self._sample is not None and self._assessment is not None:
            parts += ["", *sample_lines(self._sample, self._assessment, COPIED)]
        self.copy_text("\n".join(parts))

    def action_close(self) -> None:
        if self.stop("samples"):
            self.say("Sampling stopped; r starts it again")
        elif self._sample is not None:
            self._sample = None
            self._show()
            self.query_one(OptionList).focus()
            self.call_after_refresh(self._show)
        else:
            self.dismiss(None)
