"""Screen L: every pin of the looms, what is unknown, what to probe first, and what becomes of each wire."""

from __future__ import annotations

from textual import events, on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import DataTable, Static

from fuseplan.looms.loose_wires import LooseWire, loose_wires
from fuseplan.looms.rows import ORDERS, By, PinRow, pin_rows
from fuseplan.looms.to_do import Countdown, Task, countdown
from fuseplan.papers.loom_columns import LOOM_COLUMNS, found_words
from fuseplan.papers.looms_text import NOTHING_BLOCKS, blocked_words, looms_report, merge_report
from fuseplan.plan.nets import PinId
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.car import ask_new
from fuseplan.tui.screens.dialogs import Answer, Choose, ask_filter
from fuseplan.tui.screens.loom_changes import NO_PIN, LoomChanges
from fuseplan.tui.screens.pages import Page, page_room
from fuseplan.tui.widgets.box import Words
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.tui.words import QUIET_STYLE, line, lines
from fuseplan.workspace.lists import PastedPins

EMPTY = ("No pins yet. a adds a loom and a connector; then paste a table of pins with its headings (connector, pin, "
         "function, signal, size, colour …), or import one with F10.")

LEAST = {"function": 16, "fate": 9, "wire": 12, "goes_to": 12, "signal": 12}
"""Widths that still tell one row from another; where the wire of the pin under the cursor goes stands below, whole."""
PIN_SHARE = 0.35
"""Share of the screen's width below which the names of pins are not cut, so that connectors are told apart."""


class LoomsScreen(LoomChanges):
    """The pins in a table; below, what is known of the one under the cursor and how the rest is found out."""

    WHERE = "looms"
    FOCUSED = ColumnsTable
    GO = "go_looms"
    BINDINGS = bindings("looms", "main")
    CSS = """
    LoomsScreen #empty { height: 1fr; padding: 1 2; display: none; }
    LoomsScreen #pin { background: $panel; max-height: 40%; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._by: By = "connector"
        self._filter = ""
        self._rows: dict[str, PinRow] = {}
        self._loose: dict[str, LooseWire] = {}
        self._left: Countdown | None = None
        self._came_from: PinId | None = None
        self._gone_to: Task | None = None
        """What was gone to last."""

    def parts(self) -> ComposeResult:
        yield Static("", id="subject", markup=False)
        yield ColumnsTable()
        yield Static("", id="empty", markup=False)
        yield Words(own_id="pin")

    @property
    def at(self) -> PinId | None:
        """The pin under the cursor."""
        row = self._row
        return None if row is None else row.at

    @property
    def _row(self) -> PinRow | None:
        key = self.query_one(ColumnsTable).key
        return None if key is None else self._rows.get(key)

    @property
    def _wire(self) -> LooseWire | None:
        """The wire on no pin under the cursor."""
        key = self.query_one(ColumnsTable).key
        return None if key is None else self._loose.get(key)

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        row = self._row
        return ("circuit", row.circuits[0]) if row is not None and row.circuits else None

    @property
    def has_target(self) -> bool:
        return self.at is not None or self._wire is not None

    def show_plan(self) -> None:
        super().show_plan()
        plan = self.session.plan
        rows = pin_rows(plan, self._by, self._filter)
        loose = loose_wires(plan, self._filter)
        self._rows, self._left = {row.key: row for row in rows}, countdown(plan)
        self._loose = {wire.key: wire for wire in loose}
        table, empty = self.query_one(ColumnsTable), self.query_one("#empty", Static)
        listed: list[PinRow | LooseWire] = [*rows, *loose]
        table.display, empty.display = bool(listed), not listed
        empty.update(line("No pin holds all of these words. x shows all again." if self._filter else EMPTY))
        table.show(listed, LOOM_COLUMNS, [*self._rows, *self._loose],
                   LEAST | {"pin": int(PIN_SHARE * self.app.size.width)})
        left = self._left
        ready = ("✓ nothing open here  ", "$text-success") if left.is_ready else (
            "✗ NOT READY FOR POWER  ", "bold $text-error")
        state = ready if plan.connector else ("Looms  ", "bold")
        others = len(left.blocking) - len(left.probes)
        more = f", {others} more to settle" if others else ""
        more += f"; {writing.counted(len(loose), 'wire')} on no pin" if loose else ""
        narrowed = f", {len(listed)} with “{self._filter}”" if self._filter else ""
        self.query_one("#subject", Static).update(line(
            state, f"{left.unknown} of {left.cavities} unknown{more}{narrowed}; by {self._by}"))
        self._show_pin()

    def _show_pin(self) -> None:
        row, wire, words = self._row, self._wire, self.query_one("#pin", Words)
        words.display = row is not None or wire is not None
        if not words.display and self.focused is words:
            # At once, not when the screen is next laid out: by then a filter taken back may show it again.
            self.set_focus(self.query_one(ColumnsTable))
        if wire is not None:
            words.update(lines(line((f"{wire.words}  ", "bold"), f"ends: {' – '.join(wire.goes_to)}"),
                               line((NO_PIN, QUIET_STYLE)), *((line(wire.segment.note),) if wire.segment.note else ())))
        if row is None:
            return
        facts = "; ".join(each for each in (
            row.signal, found_words(row.pin.size, row.pin.colour), row.pin.known or "") if each)
        texts = [line((f"{pin_words(self.session.plan, row.at)}  ", "bold"), row.function or "function not known"),
                line((f"{facts}. " if facts else "", QUIET_STYLE),
                     f"Goes to: {', '.join(row.goes_to) or 'not entered'}. Becomes: {row.fate}.")]
        probe = next((each for each in self._left.probes if each.unknown.at == row.at), None) if self._left else None
        if probe is not None:
            held = blocked_words(self.session.plan, probe)
            texts[1:1] = [line(("? Find out: ", "bold $text-warning"), probe.how),
                         line(("Expected: ", "bold"), probe.expect or "the plan does not say"),
                         line((f"{', '.join(row.lacks)} not known{held}", "$text-warning"))]
        if row.pin.note:
            texts.append(line(row.pin.note))
        words.update(lines(*texts))

    def show_fault(self) -> None:
        self.query_one("#pin", Words).update(self.fault_line)

    @on(DataTable.RowHighlighted)
    def _moved(self) -> None:
        self.work_out(self._show_pin)

    @on(DataTable.RowSelected)
    def _selected(self) -> None:
        self.action_edit()

    def action_edit(self) -> None:
        part = self.at or self._wire
        if part is not None:
            self.program.open_form(part.path)

    def action_order(self) -> None:
        """The next order; the cursor stays on its pin."""
        self._by = ORDERS[(ORDERS.index(self._by) + 1) % len(ORDERS)]
        self.refresh_plan()

    def action_filter(self) -> None:
        before, table = self._filter, self.query_one(ColumnsTable)
        here = table.key

        def narrow(text: str) -> None:
            self._filter, at = text, table.key
            self.refresh_plan()
            if at not in table.keys and table.keys:
                table.go_to(table.keys[0])

        ask_filter(self.program, before, "Pins that hold all of these words: connector, function, colour, unknown …",
                   narrow, lambda: None if here is None else table.go_to(here))

    def action_show_all(self) -> None:
        self._filter = ""
        self.refresh_plan()

    def go_to(self, at: PinId) -> None:
        """Put the cursor on a pin, without the filter where that hides it."""
        table, key = self.query_one(ColumnsTable), f"{at.connector}\n{at.pin}"
        if key not in self._rows:
            self.action_show_all()
        table.go_to(key)
        self._show_pin()

    def action_other_end(self) -> None:
        """Go to the other end of the wire; from there the same key goes on, or back."""
        row = self._row
        if row is None:
            self.say_no_pin()
            return
        if not row.ends:
            self.say(f"The other end of {pin_words(self.session.plan, row.at)} is not entered as a pin")
            return
        self.go_to(row.ends[-1] if len(row.ends) > 1 and self._came_from == row.ends[0] else row.ends[0])
        self._came_from = row.at

    def action_next_open(self) -> None:
        """Go to the next thing that blocks power, the unknown first, in the order in which it is to be found out."""
        found = self._left.blocking if self._left else ()
        if not found:
            self.say(NOTHING_BLOCKS)
            return
        last = self._gone_to
        if last not in found or (last.subject.pin and last.subject != self.at):
            last = next((task for task in found if task.kind == "unknown" and task.subject == self.at), found[-1])
        task = self._gone_to = found[(found.index(last) + 1) % len(found)]
        words = f"{task.words}; {task.how}" if task.how else task.words
        if not task.subject.pin:
            self.program.open_form(("connector", task.subject.connector), said=words)
            return
        self.go_to(task.subject)
        if task.kind != "unknown":
            self.say(words)

    def action_merge(self) -> None:
        text = merge_report(self.session.assessment, page_room(self.app.size.width))
        self.app.push_screen(Page("Looms of car and engine", Content(text)))

    def action_copy(self) -> None:
        self.copy_text(looms_report(self.session.assessment, by=self._by))

    def action_add(self) -> None:
        if self.at is None:
            ask_new(self.program, ("loom", "connector"))
            return
        connector = self.at.connector
        answers = [Answer("pin", "new pin", f"in {connector}"), Answer("part", "new connector or loom")]

        def act(word: str | None) -> None:
            if word == "pin":
                self.program.open_form(("connector", connector))
            elif word == "part":
                ask_new(self.program, ("connector", "loom"))

        self.app.push_screen(Choose("Add", answers), act)

    def action_delete(self) -> None:
        part = self.at or self._wire
        if part is not None:
            self.program.delete_part(part.path)

    def on_paste(self, event: events.Paste) -> None:
        """A pasted table of pins is shown and offered; without a connector of its own it is that of the cursor."""
        event.stop()
        text, at = event.text, self.at
        connector = at.connector if at is not None else next(iter(self.session.plan.connector), "")
        if len(text.strip().splitlines()) < 2:
            self.say("Paste a table: a line of headings (pin, function, colour …) and a line for each pin")
        else:
            self.program.offer_list(lambda room: PastedPins(self.session, text, connector, room))
