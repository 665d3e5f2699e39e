"""A screen one goes to from anywhere and leaves by Escape; going on to another takes its place."""

from __future__ import annotations

from fuseplan.tui.screens.base import PlanScreen


class PlaceScreen(PlanScreen[None]):
    """One of the screens besides the circuits."""

    def action_close(self) -> None:
        self.dismiss(None)
