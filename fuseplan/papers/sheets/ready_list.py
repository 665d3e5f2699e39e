"""Ready to power: what is open before each step, as a sheet to sign."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.ready import KIND_WORDS, NO_CLAIM, STAGES, ready
from fuseplan.bench.signatures import SIGNED_ITEMS
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.paper import BY_HAND, Block, Pairs, Sheet, Table, TableColumn, Wishes, Words

_OPEN = (TableColumn("kind", "What"), TableColumn("words", "Open"), TableColumn("done", "Settled", fill_in=True))
_SIGNED = (TableColumn("item", "Done and looked at"), TableColumn("date", "Date", fill_in=True),
           TableColumn("who", "Signed", fill_in=True))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Stage by stage: what is open, what is to be signed for."""
    yield Words(NO_CLAIM, "caution")
    items = [item for item in ready(assessment) if item.kind != "unsigned"]
    signed = {each.item: each for each in assessment.plan.signed}
    for stage in STAGES:
        yield Words(stage.title, "heading")
        mine = [item for item in items if item.stage == stage.key]
        if mine:
            yield Table(f"open_{stage.key}", _OPEN, tuple((KIND_WORDS[item.kind], item.words, "") for item in mine),
                        f"{len(mine)} open")
        else:
            yield Words("Nothing is open in the plan and its readings.", "note")
        rows = []
        for item in SIGNED_ITEMS:
            if item.stage == stage.key:
                done = signed.get(item.key)
                rows.append((item.words, (done.date or "") if done else "", (done.who or "signed") if done else ""))
        yield Table(f"signed_{stage.key}", _SIGNED, tuple(rows))
        yield Pairs((("Go on to this step", BY_HAND), ("Date", BY_HAND)))


SHEET = Sheet("ready-list", "Ready to power", 82, "what is open before battery, control unit, cranking, driving: to "
              "sign", blocks)
