"""Lines that are typed into. Keys take effect in the order they were pressed, also when the program is busy."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.reactive import Reactive
from textual.suggester import Suggester
from textual.widgets import Input
from textual.widgets.input import Selection

from fuseplan.tui.actions import bindings


def _by_key(listed: list[BindingType]) -> dict[str, str]:
    """Action of every key."""
    return {binding.key: binding.action for binding in Binding.make_bindings(listed)}


class TypedLine(Input):
    """An `Input` whose editing keys keep their place between letters.

    An `Input` inserts letters at once, while its other keys travel up to the program and back first: letters typed
    behind Backspace or Ctrl+U would overtake them.
    """

    def __init__(self, value: str = "", placeholder: str = "", name: str | None = None,
                 own_id: str | None = None, suggester: Suggester | None = None, select: bool = True) -> None:
        super().__init__(value, placeholder, name=name, id=own_id, compact=True, suggester=suggester,
                         select_on_focus=select)
        # One line high: a bar to scroll along it would lie over the text itself.
        self.styles.scrollbar_size_horizontal = 0

    KEYS: ClassVar[dict[str, str]] = {**_by_key(Input.BINDINGS), "ctrl+a": "select_all"}
    virtual_size = Reactive(Size(0, 0))
    """How long the text is; the base lays the whole screen out again whenever it is another."""

    class LinesLeftOut(Message):
        """More lines were pasted than the one there is room for."""

        def __init__(self, count: int) -> None:
            super().__init__()
            self.count = count

    def on_paste(self, event: events.Paste) -> None:
        """The base takes the first line; that others were left out is said."""
        left_out = len([each for each in event.text.splitlines()[1:] if each.strip()])
        if left_out:
            self.post_message(self.LinesLeftOut(left_out))

    def takes(self, event: events.Key) -> bool:
        """Whether a key changes only the line itself, whatever else is under way: Right takes a completion, which is
        looked up once the letters before it are in."""
        action = self.KEYS.get(event.key)
        if action == "cursor_right" and self.suggester is not None:
            return False
        return event.is_printable if action is None else action != "submit" and "." not in action

    @property
    def is_completing(self) -> bool:
        """Whether a completion is being looked up."""
        return any(each.node is self and not each.is_finished for each in self.workers)

    async def on_key(self, event: events.Key) -> None:
        action = self.KEYS.get(event.key)
        if action is not None:
            event.stop()
            event.prevent_default()
            await self.run_action(action)


ROW_BINDINGS: list[BindingType] = [
    Binding("up,shift+tab", "screen.row(-1)", show=False), Binding("down", "screen.row(1)", show=False),
    Binding("pageup", "screen.row(-10)", show=False), Binding("pagedown", "screen.row(10)", show=False),
    Binding("ctrl+home", "screen.row(-1000)", show=False), Binding("ctrl+end", "screen.row(1000)", show=False),
    Binding("enter", "screen.enter", show=False), Binding("tab", "screen.complete", show=False),
]
"""Keys that move between the rows of a form."""


def _form_keys() -> dict[str, str]:
    """Keys of the form's screen and of the program, with the owner of each action named."""
    return {**{key: f"screen.{action}" for key, action in _by_key(bindings("form")).items()},
            **_by_key(bindings("everywhere"))}


class EntryLine(TypedLine):
    """One line of text over the value of a form's row."""

    KEYS: ClassVar[dict[str, str]] = {**TypedLine.KEYS, **_form_keys(), **_by_key(ROW_BINDINGS)}

    def __init__(self, suggester: Suggester) -> None:
        super().__init__(own_id="line", suggester=suggester, select=False)

    @property
    def focusable(self) -> bool:
        """As the base says it, also while the row under the cursor is out of sight: letters always go into its
        field."""
        return self.allow_focus()

    def on_hide(self, event: events.Hide) -> None:
        """It keeps the keyboard while its row is out of sight; the screen takes it away where nothing is typed."""
        event.prevent_default()

    def show(self, text: str) -> None:
        """Show a text that was not typed here, selected: typing replaces it, keys that move the cursor keep it."""
        with self.prevent(Input.Changed):
            self.value = text
        self.selection = Selection(0, len(text))

    @property
    def is_untouched(self) -> bool:
        """Whether the next letter replaces the text."""
        return bool(self.value) and not self.selection.is_empty
