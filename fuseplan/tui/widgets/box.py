"""The box of a dialogue: its title at the top, how to leave it at the bottom, its parts between them."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.layout import Layout
from textual.widgets import Static

from fuseplan.tui.layout import GivingWay
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.words import line


class Box(Vertical):
    """Parts that share what room there is; title and way out stand in the border, so that they are always in sight.

    The first lines of the screen below and the last one stay free: how the plan stands is seen there.
    """

    DEFAULT_CSS = """
    Box { width: 76; max-width: 96%; height: auto; margin: 2 0 1 0; padding: 0 1; background: $surface;
        border: round $primary; border-title-style: bold; }
    Box.-wide { width: 90; max-width: 98%; }
    Box.-paper { width: 126; }
    Box OptionList { height: auto; max-height: 14; border: none; background: $surface; }
    Box OptionList:focus { border: none; }
    Box Input { margin: 0 0 1 0; }
    Box > Static { height: auto; }
    Box .hint { color: $foreground 70%; }
    Box .message { color: $text-error; }
    Box > Words { margin: 0 0 1 0; }
    Box > Words.-page { margin: 0; }
    .-low Box > Words { margin: 0; }
    """

    def __init__(self, title: str, way_out: str, classes: str = "") -> None:
        super().__init__(classes=classes)
        self._title = title
        self.border_title = line(title).markup
        self.border_subtitle = line(way_out).markup

    @property
    def layout(self) -> Layout:
        return GivingWay()

    def narrowed_by(self, text: str) -> None:
        """Show in the title what a list is narrowed by."""
        self.border_title = line(self._title, f"  “{text}”" if text else "").markup


class Words(VerticalScroll):
    """A text; where it is longer than the room for it, Tab goes to it and the arrow keys scroll it."""

    DEFAULT_CSS = """
    Words { height: auto; max-height: 100%; }
    Words > Static { height: auto; }
    """

    def __init__(self, *contents: Content | Hanging, page: bool = False, own_id: str | None = None) -> None:
        """Texts below one another. `page`: they are all there is, so they have the keyboard."""
        super().__init__(id=own_id, can_focus=page, classes="-page" if page else "")
        self._page = page
        self._contents = contents or (Content(),)

    def compose(self) -> ComposeResult:
        for content in self._contents:
            yield Static(content, markup=False)

    def update(self, content: Content) -> None:
        """Show another text."""
        self._contents = (content,)
        for text in self.query(Static):
            text.update(content)

    def allow_focus(self) -> bool:
        """Whether there is anything to scroll, as it stands now: noted after each change it would be late for a key
        pressed at once."""
        return self._page or self.max_scroll_y > 0

    def on_resize(self) -> None:
        """A text that is all in sight has no use for the keyboard."""
        if self.screen.focused is self and not self.allow_focus():
            self.screen.focus_next()
