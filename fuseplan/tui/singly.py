"""A key held down deletes, or copies, one thing: right after itself such an action asks first."""

from __future__ import annotations

from typing import Any

from textual.dom import DOMNode

from fuseplan.tui.actions import SINGLY
from fuseplan.tui.input_queue import InputQueue
from fuseplan.tui.screens.base import PlanScreen


def _has_target(namespace: DOMNode) -> bool:
    return not isinstance(namespace, PlanScreen) or namespace.has_target


class Singly(InputQueue):
    """The part of the program that asks before what is marked `singly` is done twice in a row."""

    _done_singly: tuple[str, int] = "", 0
    """The action done last, and by which input."""

    async def _dispatch_action(self, namespace: DOMNode, action_name: str, params: Any) -> bool:
        """As the base does it, but an action marked `singly` asks where the input before did the same and there is
        something left to do it to."""
        if action_name not in SINGLY:
            return await super()._dispatch_action(namespace, action_name, params)
        before, self._done_singly = self._done_singly, (action_name, self.inputs)
        if before != (action_name, self.inputs - 1) or not _has_target(namespace):
            return await super()._dispatch_action(namespace, action_name, params)
        from fuseplan.tui.screens.dialogs import Answer, Choose

        async def answered(answer: str | None) -> None:
            if answer == "again":
                self._done_singly = action_name, self.inputs
                await super(Singly, self)._dispatch_action(namespace, action_name, params)

        label = SINGLY[action_name].label
        self.push_screen(Choose(f"{label.capitalize()} one more?", (
            Answer("again", f"{label.capitalize()} what is under the cursor now"),
            Answer("no", "No, the key was held down")), preset=False), answered)
        return True
