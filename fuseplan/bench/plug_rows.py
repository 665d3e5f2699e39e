"""Which rows of the test sheet the plugs of the looms have: few, and plug by plug."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from fuseplan.bench.plug_points import never_probed, plugs, rung_wires
from fuseplan.plan.model import Plan


class PlugRow(NamedTuple):
    """One row: the steps of its point's address, whether it is required, and what to heed."""

    steps: tuple[str, ...]
    required: bool
    note: str = ""


def unpowered_rows(plan: Plan) -> Iterator[PlugRow]:
    """Before power, plug by plug: its pins in one go, then each wire that begins there."""
    if not plan.connector:
        return
    never, wires = never_probed(plan), rung_wires(plan)
    first = f" Never put a meter on {', '.join(never)}." if never else ""
    for plug in plugs(plan):
        head, required = ("connector", plug.name), plug.changed or plug.is_control_unit
        off = f"Both ends of every wire unplugged.{first}"
        off += f" No meter on pin {', '.join(plug.never)}: the maker's own procedure." if plug.never else ""
        first = ""
        yield PlugRow((*head, "earths_ohm"), required)
        yield PlugRow((*head, "signals_earth_ohm"), required, off)
        yield PlugRow((*head, "signals_supply_ohm"), required, "Both ends of every wire unplugged.")
        yield PlugRow((*head, "pair_ohm"), required, "Plug in both end resistors. 120 Ω: one is missing; 40 Ω: one too "
                                                     "many.")
        for wire in wires:
            if wire.start.connector == plug.name:
                yield PlugRow((*head, wire.start.pin, *wire.end, "wire_ohm"), wire.changed,
                              "" if wire.changed else "as it was found")


def powered_rows(plan: Plan) -> Iterator[PlugRow]:
    """With power on, before a control unit is plugged in."""
    for plug in plugs(plan) if plan.connector else ():
        for what in ("supplies_v", "sensors_v"):
            yield PlugRow(("connector", plug.name, what), True, "Key on, before it is plugged in.")
