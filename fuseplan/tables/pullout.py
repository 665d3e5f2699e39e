"""Building practice: pull-out force of crimps, support spacing, clearances."""

from __future__ import annotations

from fuseplan.tables.load import Cited, Table, table


def pull_out_n(awg: str) -> Cited[float] | None:
    """Least pull-out force in N of a crimp on a wire; None when not printed."""
    return table("te_114_2161_pull_out").cited("awg", awg, "commercial_n")


def clip_spacing() -> Table:
    """Largest distance between loom supports; the sources disagree."""
    return table("clip_spacing")


def clearances() -> Table:
    """Least clearance of wires from exhaust, fuel line, brake pipe, battery and panel edges."""
    return table("routing_clearances")
