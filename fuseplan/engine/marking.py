"""Which circuits have something that few have: a check of that looks at no others."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from fuseplan.plan import roles
from fuseplan.plan.model import Circuit, Plan

Marked = dict[str, list[int]]
"""Numbers of the parts that have something few have, by what it is: a check then looks at no others."""


def marks_of(plan: Plan) -> Marked:
    """Numbers of the circuits by what few have: "relay", "switch", "also_from", "max_fuse", "out_of_scope", "end" for
    an end of a wire that is named, "to_feed", "design_voltage" and "essential" for a load that has it; of those in
    scope "role WORD", "no role", and "must" for what has to run or stop in some state."""
    found: Marked = defaultdict(list)
    for number, (name, circuit) in enumerate(plan.circuit.items()):
        for mark in _marks(name, circuit):
            found[mark].append(number)
    return found


def _marks(name: str, circuit: Circuit) -> Iterator[str]:
    if circuit.relay is not None:
        yield "relay"
    if circuit.switch is not None:
        yield "switch"
    if circuit.also_from:
        yield "also_from"
    wires = [circuit.wire, circuit.earth_wire]
    limited, to_feed, designed, essential = circuit.max_fuse is not None, False, False, False
    for load in circuit.load:
        wires += load.wire, load.earth_wire
        limited = limited or load.max_fuse is not None
        to_feed = to_feed or load.to_feed is not None
        designed = designed or load.design_voltage is not None
        essential = essential or bool(load.essential)
    if circuit.relay is not None:
        wires += circuit.relay.wire_86, circuit.relay.wire_85
    if limited:
        yield "max_fuse"
    if to_feed:
        yield "to_feed"
    if designed:
        yield "design_voltage"
    if essential:
        yield "essential"
    for wire in wires:
        if wire and any(segment.start is not None or segment.end is not None for segment in wire):
            yield "end"
            break
    if circuit.out_of_scope is not None:
        yield "out_of_scope"
        return
    role = roles.role_of(name, circuit)
    if role is not None:
        yield f"role {role.word}"
    if circuit.role is None:
        yield "no role"
    of_role = role is not None and (role.must_run or role.must_stop)
    if (of_role or circuit.must_run or circuit.must_stop) and (
            roles.must_run(name, circuit) or roles.must_stop(name, circuit)):
        yield "must"
