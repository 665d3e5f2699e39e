"""Undo and redo over everything: snapshots with words for what was done."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import replace

from fuseplan.plan.references import Path
from fuseplan.planfile.document import Snapshot
from fuseplan.records import dataclass

NOWHERE: Mapping[Path, Path] = {}
"""The moves of a step that moves no part."""


@dataclass(frozen=True)
class Step:
    """One thing that can be undone: the document before it, and what it was."""

    before: Snapshot
    words: str
    key: Hashable | None
    untaken: Mapping[Path, str]
    """The texts of forms that the plan had not taken when it was done."""
    moves: Mapping[Path, Path]
    """Where parts and items of lists went; what was typed for them and not taken goes back with them."""


HistoryState = tuple[tuple[Step, ...], tuple[Step, ...], Hashable | None]
"""Steps done and undone, and the key further ones join, at one moment."""


class History:
    """What was done and what was undone.

    Steps with the same key that follow one another are one step, so that a text typed into a field is undone as a
    whole and not letter by letter; `seal` ends such a row of steps.
    """

    def __init__(self) -> None:
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._open: Hashable | None = None

    def add(self, before: Snapshot, words: str, untaken: Mapping[Path, str], key: Hashable | None = None,
            moves: Mapping[Path, Path] = NOWHERE) -> None:
        """Remember a step; what was undone before it cannot be redone any more."""
        self._undone.clear()
        if key is None or key != self._open:
            self._done.append(Step(before, words, key, dict(untaken), moves))
        self._open = key

    def state(self) -> HistoryState:
        """The steps there are now, for `restore`."""
        return tuple(self._done), tuple(self._undone), self._open

    def restore(self, state: HistoryState) -> None:
        """Go back to the steps there were."""
        done, undone, self._open = state
        self._done, self._undone = list(done), list(undone)

    def seal(self) -> None:
        """The next step is a step of its own, whatever its key."""
        self._open = None

    def is_open(self, key: Hashable) -> bool:
        """Whether a further step with this key would join the last one."""
        return key is not None and key == self._open

    def undo(self, now: Snapshot) -> Step | None:
        """The last step, whose `before` is to be restored; None when there is nothing to undo."""
        return self._move(now, self._done, self._undone)

    def redo(self, now: Snapshot) -> Step | None:
        """The step undone last, whose `before` is to be restored; None when there is nothing to redo."""
        return self._move(now, self._undone, self._done)

    def _move(self, now: Snapshot, source: list[Step], target: list[Step]) -> Step | None:
        self._open = None
        if not source:
            return None
        step = source.pop()
        target.append(replace(step, before=now, moves={new: old for old, new in step.moves.items()}))
        return step

    def clear(self) -> None:
        """Forget everything: another text was read."""
        self._done.clear()
        self._undone.clear()
        self._open = None

    @property
    def last(self) -> Step | None:
        """The step that undo would take back; None when there is none."""
        return self._done[-1] if self._done else None
