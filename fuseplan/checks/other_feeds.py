"""Whether a circuit may be moved to another feed: what fuses on the way carry, and whether a switch decides when it is
live."""

from __future__ import annotations

import math

from fuseplan.checks.subjects import current_known
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Plan
from fuseplan.plan.roles import role_of

LIT: frozenset[str] = frozenset(("headlamps", "side_lamps"))
LAMPS = LIT | {"fog_lamps", "work_lamps", "interior_lamps", "reverse_lamps"}
LAMP_TERMINALS = ("55", "56", "57", "58")
"""Front fog lamps, headlamps, parking lamps, side and tail lamps: DIN 72552, as `tables/data` has it."""


def carries(results: Results, number: int, feed: str) -> bool:
    """Whether the fuses before a feed, as entered, are large enough for the most a circuit may draw, which of an
    unknown current is what the circuit's own fuse carries: a fuse for relay coils is not."""
    fuses = (results.plan.feed[each].fuse for each in way_to(results.plan, feed))
    load_a = float(results.demands.circuit[:, :, number].max())
    if not current_known(results)[number]:
        own = results.network.circuits[number].fuse
        load_a = math.inf if own is None or own.rating is None else max(load_a, float(own.rating))
    return all(fuse is None or fuse.rating is None or not exceeds(load_a, float(fuse.rating)) for fuse in fuses)


def may_be_switched_off(results: Results, feed: str) -> bool:
    """Whether a switch opens the way to a feed in states in which it counts as live."""
    return bool(unstated_switches(results.plan, feed))


def suits_lamps_alone(results: Results, number: int, feed: str) -> bool:
    """Whether a feed, or one it comes from, has the terminal of lamps, and a circuit is of none: it is live with the
    lamps on."""
    role = role_of(results.network.circuit_ids[number], results.network.circuits[number])
    return (role is None or role.word not in LAMPS) and any(
        (results.plan.feed[each].terminal or "").startswith(LAMP_TERMINALS) for each in way_to(results.plan, feed))


def unstated_switches(plan: Plan, *feeds: str | None) -> list[str]:
    """Feeds with a switch, or a relay that one closes, of which the plan does not say when it is closed: those on the
    way to some feeds, or to the coil of a relay on it."""
    found, ways = dict[str, None](), list(feeds)
    for feed in ways:
        for name in way_to(plan, feed):
            each = plan.feed[name]
            if each.live is not None:
                continue
            if each.switch is not None or (each.relay is not None and each.relay.driver == "switch"):
                found[name] = None
            if each.relay is not None and each.relay.coil_feed not in ways:
                ways.append(each.relay.coil_feed)
    return list(found)


def waits_for_itself(results: Results, number: int, feed: str) -> bool:
    """Whether a circuit is the engine's control unit and a feed lies behind a relay that this closes: nothing would
    close it."""
    role = role_of(results.network.circuit_ids[number], results.network.circuits[number])
    relays = (results.plan.feed[each].relay for each in way_to(results.plan, feed))
    return role is not None and role.word == "engine_control_unit" and \
        any(relay is not None and relay.driver == "ecu" for relay in relays)
