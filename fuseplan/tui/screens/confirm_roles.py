"""The action that confirms what circuits are for, where their names say it and the plan does not."""

from __future__ import annotations

from fuseplan.plan.roles import roles
from fuseplan.quantities import writing
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.dialogs import Answer, ChooseSome
from fuseplan.workspace.circuits import confirm_roles, name_of, proposed_roles


class ConfirmRoles(PlanScreen[None]):
    """A screen with a circuit under its cursor."""

    def action_confirm_role(self) -> None:
        """Ask which of the proposed roles are right; that of the circuit under the cursor is ticked."""
        proposed = proposed_roles(self.session)
        if not proposed:
            self.say("No role waits to be confirmed")
            return
        answers = [Answer(name, f"{name_of(self.session, name)}: {role}", roles()[role].title)
                   for name, role in proposed.items()]

        def take(chosen: list[str] | None) -> None:
            if chosen:
                self.program.attempt(lambda: confirm_roles(self.session, chosen),
                                     f"{writing.counted(len(chosen), 'role')} stated; Ctrl+Z takes back")
                self.refresh_plan()

        kind, name = self.under_cursor or ("", "")
        here = [name] if kind == "circuit" and name in proposed else []
        self.app.push_screen(ChooseSome("What these circuits are for", answers, here), take)
