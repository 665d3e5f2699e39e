"""The ways from screen to screen that do not belong to one of them, and what is done with a part from anywhere: its
form, its name, its deletion, what is found about it."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from fuseplan.checks.rule import Finding
from fuseplan.plan.references import Path, form_root, part_kind_words, place
from fuseplan.tui.program import Program
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.circuits import CircuitsScreen
from fuseplan.workspace.circuits import check_id
from fuseplan.workspace.entry import shown
from fuseplan.workspace.workings import WHOLE, Subject


def _going_to(module: str, name: str) -> Callable[[Places], None]:
    """An action that goes to a numbered screen, whose module is loaded when it is first opened."""
    return lambda self: self._go(getattr(import_module(f"fuseplan.tui.screens.{module}"), name)())


class Places(Program):
    """The part of the program that opens screens, and opens and changes parts."""

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

    def open_form(self, root: Path, field: Path | None = None, said: str = "") -> None:
        """Open the form on a part, on one of its fields where one is given, with a message."""
        from fuseplan.tui.screens.form import FormScreen

        self.push_screen(FormScreen(root, field, said))

    def open_field(self, root: Path, field: Path) -> None:
        """Open the form on a part with the cursor on a field."""
        self.open_form(root, field if len(field) > len(root) else None)

    def action_next_waiting(self) -> None:
        """Go to the field of the next entry with an error."""
        from fuseplan.tui.screens.form import FormScreen

        screen = self.plan_screen
        form = screen if isinstance(screen, FormScreen) else None
        self.leave_field()
        path = self.session.drafts.following(None if form is None else form.row.path)
        if path is None:
            self.say("No entries with errors")
            return
        root = form_root(path)
        if form is not None and form.root == root:
            form.go_to_path(path)
        else:
            self.open_field(root, path)

    def open_library(self, after: str | None) -> None:
        """Open the library; what is added goes behind a circuit."""
        from fuseplan.tui.screens.library import MEASURE_WORDS, LibraryScreen

        def added(circuits: list[str] | None) -> None:
            screen = self.plan_screen
            if circuits and isinstance(screen, CircuitsScreen):
                screen.show_new(circuits[0])
                screen.say(f"Added {', '.join(circuits)}. ⚠ {MEASURE_WORDS}")

        self.push_screen(LibraryScreen(after), added)

    def delete_part(self, root: Path) -> bool:
        """Delete a named part; refused, with the reason said, while others name it."""
        words = self.session.value((*root, "name")) or place(root)
        done = self.attempt(lambda: self.session.delete(root), f"Deleted {words}; Ctrl+Z brings it back")
        self.refresh_plan()
        return done

    def rename(self, root: Path, then: Callable[[str], None]) -> None:
        """Ask for a part's new name and id; from a form, the id is what the cursor stands on."""
        from fuseplan.tui.screens.form import FormScreen
        from fuseplan.tui.screens.rename import Rename

        kind, old = str(root[0]), str(root[1])
        name, own_id = shown(self.session.value((*root, "name"))), shown(old)

        def take(answer: tuple[str, str]) -> None:
            new_name = None if answer[0] == name else answer[0]
            new = old if answer[1] == own_id else answer[1]
            if self.attempt(lambda: self.session.rename(kind, old, new, new_name)):
                then(new)

        def refuse(answer: tuple[str, str]) -> str:
            return "" if answer[1] == own_id else check_id(self.session, kind, answer[1])

        self.ask(Rename(f"Rename {part_kind_words(kind)} {old}", name, own_id, refuse,
                        isinstance(self.screen, FormScreen)), take)

    def show_finding(self, finding: Finding) -> None:
        """Show a finding that is not about a circuit, and offer to go where it is fixed."""
        from fuseplan.tui.screens.finding import FindingPage

        self.ask(FindingPage(self.session, finding), self._after_finding)

    def _after_finding(self, answer: tuple[str, Finding]) -> None:
        from fuseplan.workspace.findings import field_of

        word, finding = answer
        if word == "working":
            self.open_working(finding.owner, finding)
        elif word == "field":
            self.open_field(*field_of(self.session, finding))
        elif isinstance(self.plan_screen, CircuitsScreen):
            self.plan_screen.action_next_finding()
