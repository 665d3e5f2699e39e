"""Wires of the looms that end on no pin, as lines of the table of pins, so that it leaves none out."""

from __future__ import annotations

from fuseplan.plan.mating import normal
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import pin_at
from fuseplan.plan.part_names import in_words, named_end
from fuseplan.plan.parts import End, Segment
from fuseplan.records import dataclass


@dataclass(frozen=True)
class LooseWire:
    """One wire that is entered with its loom, not at a pin, and has an end that is on none.

    Attributes:
        loom: id of its loom
        loom_words: what that is called, in the middle of a sentence
        index: its place among that loom's wires, from 0
        segment: the wire
        goes_to: where each of its ends is, in words; `NOT_ENTERED` where the plan does not say
    """

    loom: str
    loom_words: str
    index: int
    segment: Segment
    goes_to: tuple[str, str]

    @property
    def key(self) -> str:
        """Tells it from all others, and from every pin."""
        return f"loom\n{self.loom}\n{self.index}"

    @property
    def path(self) -> tuple[str | int, ...]:
        """Where it stands in the plan."""
        return ("loom", self.loom, "wire", self.index)

    @property
    def words(self) -> str:
        """As it is called: ``loom 'Engine loom' wire W12``."""
        return f"loom {self.loom_words} wire {self.segment.number or self.index + 1}"

    @property
    def lacks(self) -> tuple[str, ...]:
        """What is not known of it."""
        return tuple(words for words, missing in (("size", self.segment.size is None),
                                                  ("other end", NOT_ENTERED in self.goes_to)) if missing)

    @property
    def text(self) -> str:
        """All its words, as a filter looks through them."""
        words = (self.words, self.segment.note, self.segment.colour, self.segment.size, self.segment.origin,
                 self.segment.label, *self.goes_to, *(f"{each} unknown" for each in self.lacks))
        return normal(" ".join(str(each) for each in words if each))


NOT_ENTERED = "end not entered"


def loose_wires(plan: Plan, filter_text: str = "") -> list[LooseWire]:
    """All of them, in the order of the plan; those alone whose words hold every word of a filter."""
    rows = [LooseWire(name, in_words(plan, "loom", name), index, segment,
                      (_words(plan, segment.start), _words(plan, segment.end)))
            for name, loom in plan.loom.items() for index, segment in enumerate(loom.wire)
            if pin_at(plan, segment.start) is None or pin_at(plan, segment.end) is None]
    wanted = normal(filter_text).split()
    return [row for row in rows if all(word in row.text for word in wanted)]


def _words(plan: Plan, end: End | None) -> str:
    if end is None or not (end.connector or end.pin or end.splice):
        return NOT_ENTERED
    return f"splice {end.splice}" if end.splice else named_end(plan, end)
