"""What the readings of one circuit mean: the suspects in order, their evidence, and the reading to take next."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.tui.painted import mark
from fuseplan.tui.screens.report import CircuitReport
from fuseplan.workspace import reports


class DiagnosisScreen(CircuitReport):
    """Opened from the test sheet; closing it leads back, to the row of the reading to take next where it has one."""

    TITLE = "Diagnosis"

    def __init__(self, circuit: str) -> None:
        super().__init__(circuit)
        self.next_row: tuple[str, str] | None = None
        """Address and condition of the reading to take next."""

    def show_plan(self) -> None:
        if self.circuit not in self.session.plan.circuit:
            self.dismiss(None)
            return
        super().show_plan()

    def text(self, assessment: Assessment, room: int, drawn: bool) -> str:
        text, self.next_row = reports.diagnosis(assessment, self.circuit, room, mark)
        return text
