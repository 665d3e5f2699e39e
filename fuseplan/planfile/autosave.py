"""Keeps work for recovery in a thread of its own, so that neither a slow disk nor a busy program holds up the other."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from fuseplan.planfile.recovery import Work

PAUSE_S = 0.25
"""Rest between two saves, so that fast typing does not wear out a disk."""
RETRY_S = 1.0


class Autosave:
    """Saves whatever was offered last, at once; what is offered while the disk is at work waits for that alone.

    Args:
        keep: brings work safely to the disk; True when that is done. Called from the thread
        clock: seconds that only ever increase
    """

    def __init__(self, keep: Callable[[Work], bool], clock: Callable[[], float] = time.monotonic) -> None:
        self._keep = keep
        self._clock = clock
        self._changed = threading.Condition()
        self._next: Work | None = None
        self._oldest: float | None = None
        """When the oldest change was offered that is on no disk yet, not even being written."""
        self._writing: float | None = None
        """The same for what is being written."""
        self._closing = False
        self._thread = threading.Thread(target=self._run, name="fuseplan-autosave", daemon=True)
        self._thread.start()

    def offer(self, work: Work) -> None:
        """Have work saved; it takes the place of what was offered before and is not being written yet."""
        with self._changed:
            self._next = work
            if self._oldest is None:
                self._oldest = self._clock()
            self._changed.notify_all()

    def behind_s(self) -> float:
        """For how long the oldest change that is not on the disk has been waiting for it; 0 where all is there."""
        with self._changed:
            waiting = self._writing if self._writing is not None else self._oldest
            return 0.0 if waiting is None else max(0.0, self._clock() - waiting)

    def close(self) -> None:
        """Save what is waiting, once, and end."""
        with self._changed:
            self._closing = True
            self._changed.notify_all()
        self._thread.join()

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._next is not None or self._closing)
                work, self._next = self._next, None
                if work is None:
                    return
                self._writing, self._oldest = self._oldest, None
            done = self._keep(work)
            with self._changed:
                if not done:
                    # What was offered meanwhile includes this; its age does not.
                    self._next = self._next or work
                    self._oldest = self._writing
                self._writing = None
                if self._closing and (not done or self._next is None):
                    return
                self._changed.wait_for(lambda: self._closing, PAUSE_S if done else RETRY_S)
