"""Filter and order of the circuits table."""

from __future__ import annotations

from dataclasses import dataclass

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.papers.columns import BY_KEY, ORDERS, VERDICT_WORDS
from fuseplan.plan.part_names import part_name


@dataclass
class Listing:
    """What the circuits table shows, and in which order.

    Attributes:
        text: only circuits that hold every word of it somewhere
        sort: key of a column; None: the order of the plan
        descending: the other way round
    """

    text: str = ""
    sort: str | None = None
    descending: bool = False

    @property
    def is_plain(self) -> bool:
        """Everything is shown, in the order of the plan."""
        return not self.text.strip() and self.sort is None

    def ids(self, assessment: Assessment) -> list[str]:
        """Ids of the circuits to show."""
        views = list(assessment.circuits)
        words = self.text.casefold().split()
        if words:
            views = [view for view in views if all(word in _haystack(view) for word in words)]
        if self.sort is not None:
            views.sort(key=ORDERS[self.sort], reverse=self.descending)
        return [view.id for view in views]

    def sort_by(self, key: str) -> None:
        """Order by a column; by the same again: the other way round; a third time: the order of the plan."""
        if self.sort != key:
            self.sort, self.descending = key, False
        elif not self.descending:
            self.descending = True
        else:
            self.sort, self.descending = None, False

    @property
    def words(self) -> str:
        """What is on, for the line above the table; empty when nothing is."""
        parts = []
        if self.text.strip():
            parts.append(f"filter “{self.text.strip()}”")
        if self.sort is not None:
            parts.append(f"sorted by {BY_KEY[self.sort].short.lower()}{' ↓' if self.descending else ' ↑'}")
        return ", ".join(parts)


def _haystack(view: JudgedCircuit) -> str:
    circuit = view.circuit
    held = [view.id, view.name, circuit.feed, circuit.earth, circuit.drop_class, circuit.note,
            VERDICT_WORDS[view.verdict], circuit.out_of_scope]
    if circuit.fuse is not None:
        held += [circuit.fuse.kind, circuit.fuse.position]
    held += [load.name for load in circuit.load]
    ends = ("feed", circuit.feed), ("earth", circuit.earth)
    held += [part_name(view.solved.plan, (kind, name)) for kind, name in ends if name is not None]
    return " ".join(str(each) for each in held if each).casefold()
