"""Open points: what whoever builds by these papers would still have to ask."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.paper import Block, Sheet, Table, TableColumn, Wishes, Words

_POINTS = (TableColumn("subject", "About"), TableColumn("missing", "Not in the plan"),
           TableColumn("answer", "Answer", fill_in=True, by_hand_mm=50.0))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """One table: the car as a whole, relays, boxes, earths, runs, then wire by wire."""
    points = build_facts(assessment).open_points
    if not points:
        yield Words("The plan says all that these papers ask for.")
        return
    yield Words(f"Open points: {len(points)}. Nothing is guessed in their place: the papers show ? or "
                "\"not stated\".", "caution")
    yield Table("open", _POINTS, tuple((point.subject, point.words, "") for point in points))


SHEET = Sheet("open-points", "Open points", 15, "what the plan does not say and the builder must ask", blocks)
