"""Feeds and earths: both trees with what flows in them, the fuse boxes, headroom, and what is live when."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.car import ask_new
from fuseplan.tui.widgets.supply_tables import box_line, branch_line, headroom_content, seat_line, states_content
from fuseplan.tui.words import line
from fuseplan.workspace.boxes import Box, Seat, boxes
from fuseplan.workspace.supply import Branch, branches, headroom, state_table

WIDE = 140
"""From this width on headroom and states stand side by side."""
HEADROOM_WIDTH = 66


class SupplyScreen(PlanScreen[None]):
    """Screen 2."""

    WHERE = "supply"
    FOCUSED = OptionList
    GO = "go_supply"
    BINDINGS = bindings("supply", "main")
    CSS = """
    SupplyScreen OptionList { height: 1fr; border: none; background: $background; text-wrap: nowrap;
        text-overflow: ellipsis; }
    SupplyScreen OptionList > .option-list--option-disabled { color: $foreground; }
    SupplyScreen Horizontal { height: 45%; border-top: solid $primary 50%; }
    SupplyScreen VerticalScroll { width: 1fr; padding: 0 1; }
    SupplyScreen VerticalScroll Static { height: auto; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._items: list[Branch | Box | Seat | None] = []
        self._headroom = False

    def parts(self) -> ComposeResult:
        yield OptionList(markup=False)
        with Horizontal():
            with VerticalScroll(id="headroom"):
                yield Static("", markup=False)
            with VerticalScroll(id="states"):
                yield Static("", markup=False)

    @property
    def _item(self) -> Branch | Box | Seat | None:
        return self.at_cursor(self._items)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        item = self._item
        if isinstance(item, Branch):
            return item.kind, item.id
        return item.owner if isinstance(item, Seat) else None

    def show_plan(self) -> None:
        super().show_plan()
        listed = self.query_one(OptionList)
        here = listed.highlighted
        options: list[Option] = []
        self._items = []

        def add(item: Branch | Box | Seat | None, option: Option) -> None:
            self._items.append(item)
            options.append(option)

        for kind, title in (("feed", "Feeds"), ("earth", "Earth points")):
            add(None, Option(line((title, "bold $text-accent")), disabled=True))
            for branch in branches(self.session, "feed" if kind == "feed" else "earth"):
                add(branch, Option(branch_line(branch, self.app.size.width - 4)))
        found = boxes(self.session)
        if found:
            add(None, Option(line(("Fuse boxes", "bold $text-accent")), disabled=True))
        for box in found:
            add(box, Option(box_line(box)))
            for seat in box.seats:
                add(seat, Option(seat_line(seat)))
        listed.set_options(options)
        listed.highlighted = here if here is not None and here < len(options) else 1 if len(options) > 1 else None
        wide = self.app.size.width >= WIDE
        self.query_one("#headroom").display = wide or self._headroom
        self.query_one("#states").display = wide or not self._headroom
        room = self.app.size.width - 3 - (HEADROOM_WIDTH if wide else 0)
        self.query_one("#headroom").styles.width = HEADROOM_WIDTH if wide else "1fr"
        self.query_one("#states Static", Static).update(states_content(state_table(self.session), room))
        self._show_headroom()

    def _show_headroom(self) -> None:
        kind, name, title = self._carrier()
        room = HEADROOM_WIDTH - 3 if self.app.size.width >= WIDE else self.app.size.width - 3
        self.query_one("#headroom Static", Static).update(
            headroom_content(title, headroom(self.session, kind, name), room))

    def _carrier(self) -> tuple[str, str, str]:
        """Kind, id and name of the feed or earth point whose headroom is shown; of a fuse box, the feed of its bus."""
        at = self.query_one(OptionList).highlighted or 0
        item = next((each for each in reversed(self._items[:at + 1]) if isinstance(each, Branch | Box)), None)
        if isinstance(item, Box):
            return "feed", item.feed, f"{item.feed_name}, bus of {item.name}"
        return ("", "", "") if item is None else (item.kind, item.id, item.name)

    def show_fault(self) -> None:
        for pane in ("#headroom Static", "#states Static"):
            self.query_one(pane, Static).update(self.fault_line)

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self.work_out(self._show_headroom)

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_edit()

    def action_edit(self) -> None:
        """Open the form of what is under the cursor; of a fuse, on its position."""
        item = self._item
        if isinstance(item, Branch):
            self.program.open_form((item.kind, item.id))
        elif isinstance(item, Box):
            self.program.open_form(("fuse_box", item.id))
        elif isinstance(item, Seat):
            root = item.field[:1] if item.field[0] == "alternator" else item.field[:2]
            self.program.open_field(root, item.field)

    def action_add(self) -> None:
        """Ask what to add, what the cursor is among first."""
        kind = self._carrier()[0]
        first = "fuse_box" if isinstance(self._item, Box | Seat) else kind or "feed"
        ask_new(self.program, sorted(("feed", "earth", "fuse_box"), key=lambda each: each != first))

    def action_rename(self) -> None:
        """Ask for a new name and id of the part under the cursor."""
        item = self._item
        if isinstance(item, Seat):
            self.say("A fuse is named by its position: Enter goes to it")
        elif item is not None:
            self.program.rename((item.kind if isinstance(item, Branch) else "fuse_box", item.id),
                                lambda _: self.refresh_plan())

    def action_delete(self) -> None:
        """Delete the part under the cursor, if nothing else names it."""
        item = self._item
        if isinstance(item, Seat):
            self.say("A fuse goes in the form of its circuit or feed: Enter goes there")
        elif item is not None:
            self.program.delete_part((item.kind if isinstance(item, Branch) else "fuse_box", item.id))

    def action_other_table(self) -> None:
        """Below: headroom, or what is live when; side by side where there is room."""
        self._headroom = not self._headroom
        self.refresh_plan()
