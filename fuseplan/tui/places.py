"""The ways from screen to screen that do not belong to one of them."""

from __future__ import annotations

from fuseplan.checks.rule import Finding
from fuseplan.tui.program import Program
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.workspace.workings import WHOLE, Subject


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

        async def go(name: str | None) -> None:
            if name is not None:
                await self.run_action(f"app.{name}")

        self.push_screen(Choose("Which screen?", answers), go)

    def action_go_summary(self) -> None:
        from fuseplan.tui.screens.summary import SummaryScreen

        self._go(SummaryScreen())

    def action_go_circuits(self) -> None:
        self._go(None)

    def action_go_supply(self) -> None:
        from fuseplan.tui.screens.supply import SupplyScreen

        self._go(SupplyScreen())

    def action_go_charging(self) -> None:
        from fuseplan.tui.screens.report import ChargingScreen

        self._go(ChargingScreen())

    def action_go_protection(self) -> None:
        from fuseplan.tui.screens.report import ProtectionScreen

        top = self.plan_screen
        part = None if top is None else top.under_cursor
        circuit = part[1] if part is not None and part[0] == "circuit" else next(iter(self.session.plan.circuit), None)
        if circuit is None:
            self.say("No circuits yet, so nothing to draw")
        else:
            self._go(ProtectionScreen(circuit))

    def action_go_bench(self) -> None:
        from fuseplan.tui.screens.bench import BenchScreen

        self._go(BenchScreen())

    def action_go_papers(self) -> None:
        from fuseplan.tui.screens.papers import PapersScreen

        self._go(PapersScreen())

    def action_go_limit_sets(self) -> None:
        from fuseplan.tui.screens.limit_sets import LimitSetsScreen

        self._go(LimitSetsScreen())

    def action_go_measure(self) -> None:
        from fuseplan.tui.screens.measure import MeasureScreen

        self._go(MeasureScreen())

    def action_go_devices(self) -> None:
        from fuseplan.tui.screens.devices import DevicesScreen

        self._go(DevicesScreen(self._circuit_here()))

    def action_go_looms(self) -> None:
        from fuseplan.tui.screens.looms import LoomsScreen

        self._go(LoomsScreen())

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
