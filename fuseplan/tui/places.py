"""The ways from screen to screen that do not belong to one of them."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from fuseplan.checks.rule import Finding
from fuseplan.tui.program import Program
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.workspace.workings import WHOLE, Subject


def _going_to(module: str, name: str) -> Callable[[Places], None]:
    """An action that goes to a numbered screen, whose module is loaded when it is first opened."""
    return lambda self: self._go(getattr(import_module(f"fuseplan.tui.screens.{module}"), name)())


class Places(Program):
    """The part of the program that opens screens."""

    def open_working(self, subject: Subject, finding: Finding | None = None) -> None:
        """Show the figures of a part with their working, the one behind a finding first."""
        from fuseplan.tui.screens.working import WorkingScreen

        self.push_screen(WorkingScreen(subject, finding))

    def _go(self, screen: PlanScreen[None] | None) -> None:
        """Go to a numbered screen; they lie over the circuits, one at a time. None: to the circuits."""
        top = self.plan_screen
        if top is None or self.screen is not top:
            return
        beneath = [each for each in self.screen_stack if isinstance(each, PlanScreen)]
        if len(beneath) > 1 and screen is not None:
            self.switch_screen(screen)
        elif len(beneath) > 1:
            self.pop_screen()
        elif screen is not None:
            self.push_screen(screen)

    def action_choose_screen(self) -> None:
        from fuseplan.tui.actions import ACTIONS
        from fuseplan.tui.screens.dialogs import Answer, Choose

        answers = [Answer(action.name, action.key, action.words.partition(": ")[2])
                   for action in ACTIONS if action.name.startswith("go_") and action.where == "main"]

        self.ask(Choose("Which screen?", answers), lambda name: self.run_action(f"app.{name}"))

    def action_go_circuits(self) -> None:
        self._go(None)

    action_go_summary = _going_to("summary", "SummaryScreen")
    action_go_supply = _going_to("supply", "SupplyScreen")
    action_go_charging = _going_to("report", "ChargingScreen")
    action_go_bench = _going_to("bench", "BenchScreen")
    action_go_papers = _going_to("papers", "PapersScreen")
    action_go_limit_sets = _going_to("limit_sets", "LimitSetsScreen")
    action_go_measure = _going_to("measure", "MeasureScreen")
    action_go_looms = _going_to("looms", "LoomsScreen")

    def action_go_protection(self) -> None:
        from fuseplan.tui.screens.report import ProtectionScreen

        top = self.plan_screen
        part = None if top is None else top.under_cursor
        circuit = part[1] if part is not None and part[0] == "circuit" else next(iter(self.session.plan.circuit), None)
        if circuit is None:
            self.say("No circuits yet, so nothing to draw")
        else:
            self._go(ProtectionScreen(circuit))

    def action_go_devices(self) -> None:
        from fuseplan.tui.screens.devices import DevicesScreen

        self._go(DevicesScreen(self._circuit_here()))

    def open_picture(self, circuit: str) -> None:
        """Show time against current for a circuit; Escape leads back to where one came from."""
        from fuseplan.tui.screens.report import ProtectionScreen

        self.push_screen(ProtectionScreen(circuit))

    def action_propose(self) -> None:
        from fuseplan.tui.screens.proposal import ProposalScreen

        # On a row that is about no circuit it is the plan that is meant.
        self._go(ProposalScreen(self._circuit_here()))

    def action_propose_all(self) -> None:
        from fuseplan.tui.screens.proposal import ProposalScreen

        self._go(ProposalScreen(None))

    def _circuit_here(self) -> str | None:
        """The circuit under the cursor."""
        part = None if self.plan_screen is None else self.plan_screen.under_cursor
        return part[1] if part is not None and part[0] == "circuit" and part[1] in self.session.plan.circuit else None

    def action_working(self) -> None:
        screen = self.plan_screen
        if screen is not None:
            self.leave_field()
            self.open_working(screen.under_cursor or WHOLE, screen.finding_under_cursor)
