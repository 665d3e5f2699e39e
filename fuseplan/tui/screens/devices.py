"""All protective devices in a short circuit: what opens, what the wire bears, which of two opens first."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import DataTable, Static

from fuseplan.checks.rule import Finding
from fuseplan.papers.columns import PROPOSED_NOTE
from fuseplan.papers.device_columns import DEVICE_COLUMNS, opens_words, order_words, survives_words
from fuseplan.papers.findings import fixes_words
from fuseplan.papers.protect_text import device_findings, devices_report
from fuseplan.plan.references import Path
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.tui.words import QUIET_STYLE, line
from fuseplan.workspace.devices import Device, devices
from fuseplan.workspace.findings import subject_words


class DevicesScreen(PlanScreen[None]):
    """The devices in a table; below, what a short does to the one under the cursor, and the findings about it."""

    WHERE = "devices"
    FOCUSED = ColumnsTable
    GO = "go_devices"
    BINDINGS = bindings("devices", "main")
    CSS = """
    DevicesScreen #device { background: $panel; max-height: 3; padding: 0 1; }
    DevicesScreen FindingsList { height: 35%; }
    """

    def __init__(self, circuit: str | None = None) -> None:
        super().__init__()
        self._wanted = circuit

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ColumnsTable()
        yield Words(own_id="device")
        yield FindingsList()

    def begin(self) -> None:
        super().begin()
        if self._wanted is not None:
            self.query_one(ColumnsTable).go_to(f"circuit.{self._wanted}")

    @property
    def device(self) -> Device | None:
        """The device under the cursor."""
        key = self.query_one(ColumnsTable).key
        return next((each for each in devices(self.session) if each.key == key), None)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        return None if self.device is None else self.device.owner

    @property
    def finding_under_cursor(self) -> Finding | None:
        found = self.query_one(FindingsList)
        return found.finding if found.has_focus else None

    def show_plan(self) -> None:
        super().show_plan()
        listed = devices(self.session)
        note = "" if all(each.row.fuse.entered for each in listed) else f"   {PROPOSED_NOTE}"
        self.query_one("#subject", Static).update(
            line(("Fuses in a short  ", "bold"), f"{len(listed)} fuses and breakers, from the battery outwards",
                 (note, QUIET_STYLE)))
        self.query_one(ColumnsTable).show([each.row for each in listed], DEVICE_COLUMNS, [each.key for each in listed])
        self._show_device()

    def _show_device(self) -> None:
        device = self.device
        words = self.query_one("#device", Words)
        if device is None:
            words.update(line("The plan has no fuses yet."))
            self.query_one(FindingsList).show()
            return
        fault = device.row.fault
        above = "" if device.row.upstream is None else f"; above it {device.row.upstream_name}: {order_words(fault)}"
        words.update(line((f"{device.words}  ", "bold"), "clearing time of a short at the far end: "
                          f"{opens_words(fault)}; its wire {survives_words(fault)}{above}"))
        found = tuple(device_findings(self.session.assessment, device.row.fault))
        others = {at: subject_words(self.session, each) for at, each in enumerate(found) if each.owner != device.owner}
        self.query_one(FindingsList).show(found, fixes_words(found, self.session.assessment),
                                          limit_set=self.session.assessment.limit_set.name, subjects=others)

    def show_fault(self) -> None:
        self.query_one("#device", Words).update(self.fault_line)
        self.query_one(FindingsList).show()

    @on(DataTable.RowHighlighted)
    def _moved(self) -> None:
        self.work_out(self._show_device)

    @on(DataTable.RowSelected)
    def _selected(self) -> None:
        self.action_picture()

    @on(FindingsList.Chosen)
    def _finding(self, event: FindingsList.Chosen) -> None:
        from fuseplan.workspace.findings import field_of

        self.program.open_field(*field_of(self.session, event.finding))

    def action_picture(self) -> None:
        """The time–current picture of the circuit under the cursor, or of the first one behind its feed."""
        device = self.device
        if device is None:
            return
        if device.circuit is None:
            self.say("No circuit is on it, so there is no diagram")
            return
        self.program.open_picture(device.circuit)

    def action_copy(self) -> None:
        """Copy the table as plain text."""
        self.copy_text(devices_report(self.session.assessment))

    def action_to_fuse(self) -> None:
        """The form of the part, on its fuse."""
        if self.device is not None:
            root: Path = self.device.owner if self.device.owner[0] != "alternator" else ("alternator",)
            self.program.open_form(root, (*root, "fuse", "rating"))
