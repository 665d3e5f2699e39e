"""The rating a switch in a feed or in an earth lead needs: the loads behind it that are on together, those that it
switches itself with the factor of their kind.

What has a contact of its own behind it, as stop lamps behind the ignition switch have, is switched by that: the switch
before it carries its current. Common practice, no source; the factors are those of a switch that operates a load.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.checks.isolators import follows_key, supply_isolators
from fuseplan.checks.other_feeds import LAMPS
from fuseplan.checks.subjects import current_known
from fuseplan.engine.consumers import COIL, LOAD, UNSTATED
from fuseplan.engine.demand import Demands
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.relays import factor
from fuseplan.engine.results import Results
from fuseplan.engine.tree import Tree
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.parts import CRANKING_TIMES, Switch
from fuseplan.plan.words import CircuitRole, RatedFor
from fuseplan.records import dataclass

SWITCHED: tuple[CircuitRole, ...] = (
    "starter_solenoid", "headlamps", "side_lamps", "fog_lamps", "work_lamps", "stop_lamps", "reverse_lamps",
    "indicators", "hazard_lamps", "interior_lamps", "horn", "wipers", "washers", "heated_glass", "heater_blower",
    "cooling_fan", "glow_plugs")
"""Circuits that the driver, a lid or a thermostat switches on and off."""


@dataclass(frozen=True)
class SharedSwitch:
    """The switch of one feed or earth point.

    Attributes:
        kind, name: the feed or earth point
        rating_a: its rating [A]; None where not stated
        rated_for: the kind of load that is stated for; None for a resistive one, and without a rating
        kinds: the kinds of load behind it, as far as they are stated
        known_a: array (cases,), rating that the loads of stated current and kind need by themselves [A]
        carried_a: array (cases,), what it carries then [A]
        lasting_a: array (cases,), what passes it for minutes, the charging current of a flat battery too [A]
        is_known: whether those are all loads behind it
        cranking_a: array (cases,), what the starters behind it draw [A]; 0 without one, NaN where that is not known
        cranking_rating_a: what it may carry while a starter turns [A]; None where not stated
    """

    kind: Literal["feed", "earth"]
    name: str
    rating_a: float | None
    rated_for: RatedFor | None
    kinds: frozenset[str]
    known_a: Floats
    carried_a: Floats
    lasting_a: Floats
    is_known: bool
    cranking_a: Floats
    cranking_rating_a: float | None

    @property
    def asked_a(self) -> Floats:
        """Rating it needs (cases,) [A]; NaN where a current or a kind of load behind it is not stated."""
        return self.known_a if self.is_known else np.full(len(self.known_a), np.nan)

    @property
    def allowed_a(self) -> float | None:
        """What it may carry while a starter turns [A], by its rating where no more is stated; None where neither is."""
        if self.cranking_rating_a is not None:
            return self.cranking_rating_a
        return None if self.rating_a is None else CRANKING_TIMES * self.rating_a


def shared_switches(results: Results, demands: Demands) -> list[SharedSwitch]:
    """The switches in feeds that carry their loads themselves, then those in earth leads, in plan order; what
    they need by the demands of some cases.

    What a starter draws is counted apart: its solenoid makes and breaks that current, the switch only carries it.
    """
    network, plan, consumers = results.network, results.plan, results.network.consumers
    fitted = [(name, feed.switch) for name, feed in plan.feed.items() if feed.switch and feed.relay is None]
    isolators = [(name, earth.switch) for name, earth in plan.earth.items() if earth.switch is not None]
    if not fitted and not isolators:
        return []
    current = demands.load[:, FIVE_S].copy()
    coils = consumers.kind == COIL
    current[:, coils] = consumers.reference_a[coils]
    kinds = ["coil" if coil else kind for coil, kind in zip(coils.tolist(), consumers.load_kind, strict=True)]
    times = {rated_for: np.array([factor(kind, network.system_v, rated_for) for kind in kinds], dtype=float)
             for rated_for in {switch.loads_rated for _, switch in (*fitted, *isolators)}}
    # The last place stands for consumers without a circuit.
    starters = np.zeros(len(network.circuits) + 1, dtype=bool)
    starters[[number for number in network.marked.get("role starter", ())
              if network.circuits[number].role == "starter"]] = True
    unstated = consumers.kind == UNSTATED
    not_known = np.append(~current_known(results), False)[consumers.circuit] | unstated
    switched = ((consumers.kind == LOAD) | coils | unstated) & ~starters[consumers.circuit]
    factors_at = _factors(results)
    behind = (results, kinds, current, switched, not_known)
    turning = (consumers.kind == LOAD) & starters[consumers.circuit]
    known = np.where(not_known, np.nan, current)

    def of(kind: Literal["feed", "earth"], tree: Tree, node: int, name: str, switch: Switch) -> SharedSwitch:
        kinds, asked, carried, is_known = _asked(tree, node, factors_at(kind, name, times[switch.loads_rated]), *behind)
        passing = (demands.supply if kind == "feed" else demands.returns)[:, :, node]
        return SharedSwitch(kind, name, _rated(switch), switch.loads_rated, kinds, asked, carried,
                            np.maximum(passing[:, FIVE_MIN], passing[:, CONTINUOUS]), is_known,
                            _starters(tree, node, known, turning),
                            None if switch.cranking_rating is None else float(switch.cranking_rating))

    return [*(of("feed", network.supply, network.feed_node[name], name, switch) for name, switch in fitted),
            *(of("earth", network.returns, network.earth_node[name], name, switch) for name, switch in isolators)]


def _factors(results: Results) -> Callable[[str, str, Floats], Floats]:
    """What gives, for the switch of a feed or an earth point, the factor of each consumer there from that of its kind:
    1 for what has a contact of its own, or in a feed between; by its role where the switch is the key's or a battery
    isolator, not where it is live whenever the feed before it is, as a light switch behind the key, nor where it has
    lamps behind it that a light switch operates, and nothing else: no other switch is asked for then."""
    network, plan, consumers = results.network, results.plan, results.network.consumers
    own = np.zeros(len(network.circuits) + 1, dtype=bool)
    own[[*network.marked.get("switch", ()), *network.marked.get("relay", ())]] = True
    by_role, lamps = np.zeros((2, len(own)), dtype=bool)
    for role in SWITCHED:
        by_role[[*network.marked.get(f"role {role}", ())]] = role != "starter_solenoid"
        lamps[[*network.marked.get(f"role {role}", ())]] = role in LAMPS
    tree = network.supply
    contacts = {name: tree.order[tree.start[node]:tree.end[node]] for name, node in network.feed_node.items()
                if name in plan.feed and (plan.feed[name].switch or plan.feed[name].relay)}

    def factors(kind: str, name: str, times: Floats) -> Floats:
        alone = own[consumers.circuit]
        if kind == "earth" or name in supply_isolators(plan) or (
                follows_key(plan, network.feed_live, name) and not lamps[consumers.circuit[contacts[name]]].all()):
            alone |= by_role[consumers.circuit]
        for feed, behind in contacts.items():
            if kind == "earth" or (feed != name and name in way_to(plan, feed)):
                alone[behind] = True
        return np.where(alone, 1.0, times)

    return factors


def _starters(tree: Tree, node: int, current: Floats, turning: Flags) -> Floats:
    """What the starters behind a node of a tree draw (cases,) [A]."""
    behind = tree.order[tree.start[node]:tree.end[node]]
    total: Floats = current[:, behind[turning[behind]]].sum(axis=1)
    return total


def _rated(switch: Switch) -> float | None:
    return None if switch.rating is None else float(switch.rating)


def _asked(tree: Tree, node: int, times: Floats, results: Results, kinds: Sequence[str], current: Floats,
           switched: Flags, not_known: Flags) -> tuple[frozenset[str], Floats, Floats, bool]:
    """The kinds of load behind the switch before a node of a tree, the rating that what is known of them needs, each
    with its factor, what it carries then, each (cases,) [A], and whether that is all."""
    consumers, weighted = results.network.consumers, current * times
    behind = tree.order[tree.start[node]:tree.end[node]]
    behind = behind[switched[behind]]
    members = behind[~(not_known[behind] | np.isnan(weighted[:, behind]).any(axis=0))]
    bounds = np.arange(len(current))
    asked, carried = np.zeros(len(current)), np.zeros(len(current))
    for on in (consumers.on, *consumers.instead):
        together = on[:, members].T
        sums, plain = weighted[:, members] @ together, current[:, members] @ together
        worst = sums.argmax(axis=1)
        more = sums[bounds, worst] > asked
        asked = np.where(more, sums[bounds, worst], asked)
        carried = np.where(more, plain[bounds, worst], carried)
    return frozenset(kinds[each] for each in members.tolist()), asked, carried, len(members) == len(behind)
