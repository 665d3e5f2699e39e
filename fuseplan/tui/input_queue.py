"""Keys, clicks and pasted text take effect one after the other, however fast they arrive.

Textual hands a key to whatever is open when the key arrives, and deals with what the key leads to later: of two Enters
that arrive together the second would meet a dialogue that is already closing, or a screen that is not there yet. Here
each waits until everything the one before it led to has been done.
"""

from __future__ import annotations

import asyncio
import math
import time
from collections import deque
from collections.abc import Callable
from functools import partial
from typing import Any

from textual import events
from textual.message_pump import MessagePump
from textual.screen import Screen
from textual.widget import Widget

from fuseplan.tui.program import Program
from fuseplan.tui.widgets.entry_line import TypedLine

LEAST_COLUMNS, LEAST_LINES = 12, 4
"""In a smaller window nothing can be seen that one could act on, so input does nothing."""
LONGEST_WAIT_S = 3.0
"""A part of a screen that never comes to rest must not lock the keyboard."""
_BRIEF_S = 0.25
"""How long to wait without a pause; after that the processor is given some rest."""
_PAUSE_S = 0.005

Input = events.InputEvent | events.Paste


def _is_at_work(part: MessagePump) -> bool:
    """Whether a part deals with a message or has one to deal with: else it waits for its queue to give it one.

    The length of the queue does not tell: what is being dealt with is no longer in it, nor is the one after that, which
    Textual takes out to look at.
    """
    ready: asyncio.Event = part._message_queue.ready_event
    return ready.is_set() or not ready._waiters


class InputQueue(Program):
    """The part of the program that takes keys, clicks and pasted text in."""

    _feeding: asyncio.Task[None] | None = None
    _queued: deque[Input]
    """Input that has not had its turn, from the first on."""
    _waits = False
    """Whether the next input waits for what the one before it led to."""
    _its_turn: Input | None = None
    _typed_into: TypedLine | None = None
    """The line that took the last key, where that was a letter or the like."""
    inputs = 0
    """How many keys, presses of a mouse button and pasted texts there were."""
    _met: Screen[Any] | None = None
    """The screen that was open when the last input took effect."""
    _pressed: tuple[Screen[Any], int, int, float] | None = None
    """Where and when a mouse button was last pressed."""
    _is_second_press = False

    async def on_event(self, event: events.Event) -> None:
        """As the base does it, but input waits for its turn."""
        if event is self._its_turn:
            try:
                await super().on_event(event)
            finally:
                self._its_turn = None
            return
        if not isinstance(event, Input) or event.is_forwarded:
            await super().on_event(event)
            return
        if self._feeding is None or self._feeding.done():
            self._queued = deque()
            self._feeding = asyncio.create_task(self._feed())
        if isinstance(event, events.MouseMove) and self._queued and isinstance(self._queued[-1], events.MouseMove):
            self._queued.pop()
        self._queued.append(event)

    def input_begins(self) -> None:
        """What is done before a key, a press of a mouse button or a pasted text takes effect; nothing here."""

    async def _feed(self) -> None:
        """Hand queued input to the program piece by piece."""
        try:
            while self._queued and self.is_running:
                event = self._queued[0]
                self._waits = not self._goes_on_typing(event)
                if self._waits:
                    # What a click meets is known once everything has its place, and so is the length of a page.
                    await self._rest(partial(self._is_busy, isinstance(event, events.MouseEvent)))
                self._waits = False
                self._queued.popleft()
                if isinstance(event, events.Key | events.MouseDown | events.Paste):
                    self.inputs += 1
                    self.input_begins()
                self._met = self.screen
                if self._is_seen and not self._is_meant_for_another_screen(event):
                    self._its_turn = event
                    self.post_message(event)
                    # The next may take the turn only when this one has been let through, or has been left out.
                    await self._rest(lambda: self._its_turn is not None and _is_at_work(self), math.inf)
        except Exception as error:  # as the base does with whatever goes wrong in a part of it
            self._handle_exception(error)

    @property
    def _is_seen(self) -> bool:
        return self.size.width >= LEAST_COLUMNS and self.size.height >= LEAST_LINES

    def _goes_on_typing(self, event: Input) -> bool:
        """Whether a key is taken by the line that took the one before: those take effect in their order anyway, and
        what is typed while the last letters are judged is judged in one go."""
        line = self.focused if self.screen_stack and isinstance(event, events.Key) else None
        before, self._typed_into = self._typed_into, None
        if isinstance(line, TypedLine) and isinstance(event, events.Key) and line.takes(event):
            self._typed_into = line
        return self._typed_into is not None and self._typed_into is before

    async def letters_are_in(self, line: TypedLine) -> None:
        """Wait until all letters that have arrived for a line are in it; not for those behind another key."""
        await self._rest(partial(self._is_typed_on, line))

    def _is_typed_on(self, line: TypedLine) -> bool:
        if self._waits or self._typed_into is not line or self.focused is not line:
            return False
        ahead = self._queued[0] if self._queued else None
        return self._its_turn is not None or _is_at_work(line) or (isinstance(ahead, events.Key) and line.takes(ahead))

    def _is_meant_for_another_screen(self, event: Input) -> bool:
        """Whether this is the second press of a double click whose first one led to another screen, or its release."""
        if isinstance(event, events.MouseDown):
            before, now = self._pressed, (self.screen, event.screen_x, event.screen_y, event.time)
            self._pressed = now
            self._is_second_press = before is not None and before[0] is not now[0] and before[1:3] == now[1:3] \
                and now[3] - before[3] <= self.CLICK_CHAIN_TIME_THRESHOLD
            if self._is_second_press:
                self._pressed = before
        return self._is_second_press and isinstance(event, events.MouseDown | events.MouseUp)

    async def come_to_rest(self) -> None:
        """Wait until all input so far has had its effect."""
        while True:
            if self._feeding is not None:
                await self._feeding
            await self._rest(partial(self._is_busy, True))
            # What had only just arrived began to be fed meanwhile.
            if self._feeding is None or self._feeding.done():
                return

    async def _rest(self, is_busy: Callable[[], bool], longest_s: float = LONGEST_WAIT_S) -> None:
        """Wait until something that is under way is done."""
        start = time.monotonic()
        while self.is_running and is_busy() and (waited_s := time.monotonic() - start) < longest_s:
            await asyncio.sleep(0 if waited_s < _BRIEF_S else _PAUSE_S)

    def _is_busy(self, laid_out: bool) -> bool:
        """Whether something is under way; with `laid_out`, also whether not everything has its place yet."""
        if not self.screen_stack:
            return True
        screen = self.screen
        parts = [screen, *screen.walk_children(Widget)]
        if any(map(_is_at_work, (self, *parts))) or not all(part.is_mounted for part in parts):
            return True
        if isinstance(screen.focused, TypedLine) and screen.focused.is_completing:
            return True
        # Something hidden gives the keyboard to another part when the screen is laid out.
        laid_out = laid_out or screen is not self._met or (screen.focused is not None and not screen.focused.display)
        if laid_out and (screen._layout_required or screen._callbacks):
            # Nothing else is under way, so there is nothing to wait for until the next frame is due.
            with screen._context():
                screen._on_timer_update()
            return True
        return False
