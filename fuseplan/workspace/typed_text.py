"""What a text typed into a field does, whatever letters it came in: the plan never depends on how fast it was typed.

Typed slowly, `15 A` is `1`, `15`, `15 A`, each tried on the plan; typed fast it is tried once. So each text begins
where the first letter found the plan: of a beginning that happens to be right, as the `8` of `8A`, nothing stays.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from fuseplan.plan.references import Path
from fuseplan.planfile.document import Snapshot
from fuseplan.records import dataclass
from fuseplan.workspace.drafts import DraftsState
from fuseplan.workspace.history import HistoryState

if TYPE_CHECKING:
    from fuseplan.workspace.session import Session


@dataclass(frozen=True)
class _Before:
    """How things stood before the first letter, and how the last one left plan and drafts."""

    path: Path
    plan: Snapshot
    drafts: DraftsState
    history: HistoryState
    left: tuple[Snapshot, DraftsState] | None = None


class TypedText:
    """The text being typed into a field; `end` when the field is left."""

    def __init__(self) -> None:
        self._before: _Before | None = None

    def end(self) -> None:
        """The next letter is the first of another text."""
        self._before = None

    @contextmanager
    def begin(self, session: Session, path: Path) -> Iterator[None]:
        """Within it a text takes the place of the one typed into the same field just before, if nothing else was done
        in between; plan, drafts and steps are as they were without that one."""
        before = self._before
        now = session.document.snapshot(), session.drafts.state()
        if before is None or before.path != path or before.left != now:
            before = _Before(path, *now, session.history.state())
        else:
            session.document.restore(before.plan)
            session.drafts.restore(before.drafts)
            session.history.restore(before.history)
        try:
            yield
        finally:
            session.assess_again()
        left = session.document.snapshot(), session.drafts.state()
        self._before = _Before(path, before.plan, before.drafts, before.history, left)
