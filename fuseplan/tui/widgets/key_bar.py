"""The bottom line: what the keys do here, each to be clicked as well; above it, for a while, what just happened."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from fuseplan.tui.actions import Action, Where, footer
from fuseplan.tui.words import line

SHOWN_FOR_S = 8.0


class KeyBar(Vertical):
    """The keys of the place one is in, and a message above them that goes by itself or with a click."""

    DEFAULT_CSS = """
    KeyBar { dock: bottom; height: auto; background: $panel; }
    KeyBar > Static { height: auto; max-height: 50vh; padding: 0 1; background: $primary-background; display: none; }
    KeyBar.-said > Static { display: block; }
    KeyBar > Keys { height: 1; padding: 0 1; }
    """

    def __init__(self, where: Where) -> None:
        super().__init__()
        self._where = where
        self._said: Content | None = None
        self._timer: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static(self._said or "", markup=False)
        yield Keys(self._where)

    def say(self, text: str, style: str = "") -> None:
        """Show a message for some seconds."""
        self._said = line((text, style)) if style else line(text)
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(SHOWN_FOR_S, self.quiet)
        for said in self.query(Static):
            said.update(self._said)
        self.set_class(True, "-said")

    def quiet(self) -> None:
        """Take the message away."""
        if self._said is not None:
            self._said = None
            self.set_class(False, "-said")

    @property
    def said(self) -> str:
        """The message shown; empty without one."""
        return "" if self._said is None else self._said.plain

    def on_click(self) -> None:
        self.quiet()


class Keys(Widget):
    """Keys from the list of actions, as many as there is room for; the last is always the menu of all."""

    def __init__(self, where: Where) -> None:
        super().__init__()
        self._where = where
        self._spots: list[tuple[int, int, Action]] = []

    def render(self) -> Content:
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
        event.stop()
        offset = event.get_content_offset(self)
        for start, end, action in self._spots:
            if offset is not None and start <= offset.x < end:
                await self.run_action(f"{'app' if action.where in ('main', 'everywhere') else 'screen'}.{action.name}")
                return


def _width(action: Action) -> int:
    return line(action.key, " ", action.label).cell_length
