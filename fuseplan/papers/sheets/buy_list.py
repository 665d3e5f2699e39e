"""The buy list: what to get, how much, and where it is used; as a table for a shop."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.buying import BASIS, BuyLine
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import unsettled
from fuseplan.papers.columns import PROPOSED
from fuseplan.papers.paper import Block, Cell, Sheet, Table, TableColumn, Wishes, Words

_LINES = (TableColumn("group", "Group"), TableColumn("item", "Item"),
          TableColumn("needed", "Needed", number=True, side="burden"),
          TableColumn("buy", "Buy", number=True, side="burden"), TableColumn("unit", "Unit"),
          TableColumn("used", "Used at"), TableColumn("got", "Got", fill_in=True))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """One table, group by group."""
    lines = build_facts(assessment).buying
    if not lines:
        yield Words("The plan asks for nothing to buy yet.", "note")
        return
    yield from unsettled(assessment)
    yield Table("buy", _LINES, tuple(map(_line, lines)), group="group", note=BASIS)
    open_lines = [line for line in lines if line.buy is None or "not stated" in line.item or "not known" in line.item]
    if open_lines:
        yield Words(f"Lines that are not complete: {len(open_lines)}. The plan does not say all that a shop will ask: "
                    "buy nothing by them before it is settled.", "caution")
    yield Words("Buy terminals with the tool that is made for them; a holder rated no less than its fuse; relays with "
                "the suppression stated. The wires of relay coils are not in the plan and not in this list.", "note")


def _line(line: BuyLine) -> tuple[Cell, ...]:
    return line.group, f"{line.item}{PROPOSED}" if line.proposed else line.item, line.net, line.buy, \
        line.unit or "pieces", ", ".join(line.used), ""


SHEET = Sheet("buy-list", "Buy list", 110, "wire, fuses with spares, relays, terminals, sleeve: how much, and where "
              "used", blocks)
