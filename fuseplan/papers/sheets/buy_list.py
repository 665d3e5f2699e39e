"""The buy list: what to get, how much, and where it is used; as a table for a shop."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.buying import BASIS, BuyLine
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import coil_wires_left_out, idle_left_out, unsettled
from fuseplan.papers.columns import PROPOSED
from fuseplan.papers.paper import Block, Cell, Sheet, Table, TableColumn, Wishes, Words

_LINES = (TableColumn("group", "Group"), TableColumn("item", "Item"),
          TableColumn("needed", "Needed", number=True, side="burden"),
          TableColumn("buy", "Buy", number=True, side="burden"), TableColumn("unit", "Unit"),
          TableColumn("used", "Used at"), TableColumn("got", "Got", fill_in=True))


IN_STOCK = " (in stock)"
STOCK = ("In stock: the plan lists this size, rating or contact as at hand. It does not say how much: count "
         "what is there before you leave the line out.")


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """One table, group by group."""
    facts = build_facts(assessment)
    lines = facts.buying
    yield from idle_left_out(facts)
    if not lines:
        yield Words("The plan asks for nothing to buy yet.", "note")
        return
    yield from unsettled(assessment)
    yield Table("buy", _LINES, tuple(map(_line, lines)), group="group", note=BASIS)
    if any(line.in_stock for line in lines):
        yield Words(STOCK, "note")
    open_lines = [line for line in lines if line.buy is None or "not stated" in line.item or "not known" in line.item]
    if open_lines:
        yield Words(f"Lines that are not complete: {len(open_lines)}. The plan does not say all that a shop will ask: "
                    "buy nothing by them before it is settled.", "caution")
    yield Words("Buy terminals with the tool that is made for them; a holder rated no less than its fuse; relays with "
                "the suppression stated.", "note")
    yield from coil_wires_left_out(facts)


def _line(line: BuyLine) -> tuple[Cell, ...]:
    item = f"{line.item}{PROPOSED if line.proposed else ''}{IN_STOCK if line.in_stock else ''}"
    return line.group, item, line.net, line.buy, line.unit or "pieces", ", ".join(line.used), ""


SHEET = Sheet("buy-list", "Buy list", 110, "wire, fuses with spares, relays, terminals, sleeve: how much, and where "
              "used", blocks)
