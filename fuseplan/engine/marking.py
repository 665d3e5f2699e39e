"""Which circuits and protective devices have something that few have: a check of that looks at no others."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.plan import roles
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Fuse, Relay

Marked = dict[str, list[int]]
"""Numbers of the parts that have something few have, by what it is: a check then looks at no others."""
_FEW_FUSES = ("blows_at", "distance", "holder", "position")
_FEW_CLASSES = ("headlamp", "starter_control")


def marks_of_fuse(fuse: Fuse) -> list[str]:
    """What a fuse has that few have: "fuse KEY" for what is entered of it."""
    return [f"fuse {key}" for key in _FEW_FUSES if getattr(fuse, key) is not None]


def marks_of(name: str, circuit: Circuit) -> Iterator[str]:
    """What a circuit has that few have: "relay", "relay socket" and "relay breaks" where these are entered, "ecu" for
    one that a control unit drives; "switch", "also_from", "max_fuse", "out_of_scope", "flasher", "second_battery";
    "end" for an end of a wire that is named; "to_feed", "design_voltage", "made_for" and "essential" for a load that
    has it; "drop_class WORD" for few of them; in scope "role WORD", "no role", and "must" for what has to run or stop
    in some state."""
    relay = circuit.relay
    if relay is not None:
        yield from _marks_of_relay(relay)
    if circuit.switch is not None:
        yield "switch"
    if circuit.also_from:
        yield "also_from"
    if circuit.flasher is not None:
        yield "flasher"
    if circuit.second_battery is not None:
        yield "second_battery"
    if circuit.drop_class in _FEW_CLASSES:
        yield f"drop_class {circuit.drop_class}"
    wires = [circuit.wire, circuit.earth_wire]
    limited, to_feed, designed, essential, made_for = circuit.max_fuse is not None, False, False, False, False
    for load in circuit.load:
        wires += load.wire, load.earth_wire
        limited = limited or load.max_fuse is not None
        to_feed = to_feed or load.to_feed is not None
        designed = designed or load.design_voltage is not None
        essential = essential or bool(load.essential)
        made_for = made_for or load.made_for is not None
    if relay is not None:
        wires += relay.wire_86, relay.wire_85
    if limited:
        yield "max_fuse"
    if to_feed:
        yield "to_feed"
    if designed:
        yield "design_voltage"
    if essential:
        yield "essential"
    if made_for:
        yield "made_for"
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


def _marks_of_relay(relay: Relay) -> Iterator[str]:
    yield "relay"
    if relay.socket is not None:
        yield "relay socket"
    if relay.breaks is not None:
        yield "relay breaks"
    if relay.driver == "ecu":
        yield "ecu"
