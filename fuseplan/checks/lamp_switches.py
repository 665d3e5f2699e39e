"""Switches of feeds that may leave horn, stop lamps, hazard lamps or indicators dead while they are needed: the light
switch, and others of which the plan does not say when they are closed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from fuseplan.checks.cut_offs import ENGINE_ROLES, UNIT_ROLES
from fuseplan.checks.other_feeds import LAMPS, LIT, unstated_switches
from fuseplan.engine.results import Results
from fuseplan.plan.roles import must_run, role_of
from fuseplan.plan.words import CircuitRole
from fuseplan.records import dataclass

NEEDED_DARK_OR_NOT: tuple[CircuitRole, ...] = ("horn", "stop_lamps", "hazard_lamps", "indicators")
"""Circuits that warn others and must do so with the lamps on or off."""
KEYED = frozenset((*ENGINE_ROLES, *UNIT_ROLES, "starter"))
"""Circuits behind the ignition switch or a battery isolator: what else is behind it is live as the states say."""
OF_ONE_SWITCH = {"hazard_lamps": "indicators"}
"""Circuits that share a switch of their own with others: it makes the indicators flash on both sides."""


@dataclass(frozen=True)
class BehindSwitch:
    """A circuit that must work while a switch before it may be open.

    Attributes:
        number: of the circuit
        feed: the feed with the switch, or with the relay that one closes
        lamps: headlamps or side lamps behind the same switch, by number, where it can be nothing but a light switch
    """

    number: int
    feed: str
    lamps: tuple[int, ...]


def behind_switches(results: Results) -> Iterator[BehindSwitch]:
    """Circuits that a hand switch of a feed leaves dead, or may, by number. None behind a switch of their own, behind
    the ignition switch or a battery isolator, or fed from elsewhere too."""
    network, plan = results.network, results.plan
    needed = sorted(number for role in NEEDED_DARK_OR_NOT for number in network.marked.get(f"role {role}", ())
                    if must_run(network.circuit_ids[number], network.circuits[number])
                    and not network.circuits[number].also_from)
    if not any(_switches(results, number) for number in needed):
        return
    behind = defaultdict[str, dict[int, str]](dict)
    for number, (name, circuit) in enumerate(zip(network.circuit_ids, network.circuits, strict=True)):
        role = role_of(name, circuit)
        for feed in _switches(results, number):
            behind[feed][number] = "" if role is None else role.word
    engine = any(network.marked.get(f"role {role}") for role in ENGINE_ROLES)
    for number in needed:
        for feed in _switches(results, number):
            switch, roles = plan.feed[feed].switch, set(behind[feed].values())
            own = {OF_ONE_SWITCH.get(role, role) for role in roles}
            if (switch is not None and switch.also_opens is not None) or roles & KEYED or len(own) == 1:
                continue
            lamps = tuple(each for each, role in behind[feed].items() if role in LIT)
            # An engine fed from elsewhere is what a battery isolator or an ignition switch would not leave.
            relay = plan.feed[feed].relay
            sure = engine and roles <= LAMPS.union(NEEDED_DARK_OR_NOT) and (
                relay is None or network.feed_live[relay.coil_feed].all())
            yield BehindSwitch(number, feed, lamps if sure else ())


def _switches(results: Results, number: int) -> list[str]:
    circuit = results.network.circuits[number]
    return unstated_switches(results.plan, circuit.feed, circuit.relay.coil_feed if circuit.relay is not None else None)
