"""The bottom line: what the keys do here, each to be clicked as well; or, for a while, what just happened."""

from __future__ import annotations

from textual import events
from textual.content import Content
from textual.timer import Timer
from textual.widget import Widget

from fuseplan.tui.actions import Action, Where, footer
from fuseplan.tui.words import line

SHOWN_FOR_S = 8.0


class KeyBar(Widget):
    """Keys from the list of actions, as many as there is room for; the last is always the menu of all."""

    DEFAULT_CSS = """
    KeyBar { dock: bottom; height: auto; max-height: 4; min-height: 1; padding: 0 1; background: $panel; }
    KeyBar.-said { background: $primary-background; }
    """

    def __init__(self, where: Where) -> None:
        super().__init__()
        self._where = where
        self._said: Content | None = None
        self._spots: list[tuple[int, int, Action]] = []
        self._timer: Timer | None = None

    def say(self, text: str, style: str = "") -> None:
        """Show a message instead of the keys for some seconds."""
        self._said = line((text, style)) if style else line(text)
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(SHOWN_FOR_S, self.quiet)
        self.set_class(True, "-said")
        self.refresh(layout=True)

    def quiet(self) -> None:
        """Show the keys again."""
        if self._said is not None:
            self._said = None
            self.set_class(False, "-said")
            self.refresh(layout=True)

    @property
    def said(self) -> str:
        """The message shown, empty when the keys are."""
        return "" if self._said is None else self._said.plain

    def render(self) -> Content:
        if self._said is not None:
            return self._said
        listed = footer(self._where)
        room = self.content_size.width
        last = next(action for action in listed if action.name == "menu")
        chosen: list[Action] = []
        used = _width(last)
        for action in listed:
            if action is not last and used + _width(action) + 2 <= room:
                chosen.append(action)
                used += _width(action) + 2
        parts: list[str | tuple[str, str]] = []
        self._spots = []
        x = 0
        for action in [*chosen, last]:
            if parts:
                parts.append("  ")
                x += 2
            self._spots.append((x, x + _width(action), action))
            parts += [(action.key, "bold $text-accent"), f" {action.label}"]
            x += _width(action)
        return line(*parts)

    async def on_click(self, event: events.Click) -> None:
        if self._said is not None:
            self.quiet()
            return
        offset = event.get_content_offset(self)
        for start, end, action in self._spots:
            if offset is not None and start <= offset.x < end:
                await self.run_action(f"{'app' if action.where in ('main', 'everywhere') else 'screen'}.{action.name}")
                return


def _width(action: Action) -> int:
    return line(action.key, " ", action.label).cell_length
