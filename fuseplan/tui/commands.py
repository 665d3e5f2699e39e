"""The actions of the list in the command palette."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual.command import DiscoveryHit, Hit, Hits, Provider

from fuseplan.tui.actions import Action, actions_of
from fuseplan.tui.screens.base import PlanScreen

if TYPE_CHECKING:
    from fuseplan.tui.app import FuseplanApp


class ActionCommands(Provider):
    """What can be done on the screen the palette was called from."""

    def _actions(self) -> Iterator[Action]:
        if isinstance(self.screen, PlanScreen):
            yield from actions_of(self.screen.WHERE)

    async def discover(self) -> Hits:
        for action in self._actions():
            yield DiscoveryHit(action.words, self._run(action), help=action.key)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for action in self._actions():
            score = matcher.match(action.words)
            if score > 0:
                yield Hit(score, matcher.highlight(action.words), self._run(action), help=action.key)

    def _run(self, action: Action) -> partial[Any]:
        program = cast("FuseplanApp", self.app)
        return partial(program.run_action_of, self.screen, action.name)
