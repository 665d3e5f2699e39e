"""Whether a plain switch, an ECU output or a relay contact bears a circuit's load."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from functools import lru_cache
from typing import NamedTuple, get_args

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.demand import Demands, seconds_on
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.errors import TableError
from fuseplan.formulas.relay import switch_rating
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import RatedFor
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import relays as relay_tables
from fuseplan.tables.distinct import distinct
from fuseplan.trace import apply, bare, given, summed

ADVISED_A = 6.0
REQUIRED_A = 10.0
"""A manual switch of unknown rating: a relay is advised above the first and required above the second. The second
is a published consumer rule, the first common practice, no source."""


@lru_cache(maxsize=256)
def factor(load_kind: str, system_v: float, rated_for: RatedFor | None = None) -> float:
    """Switch rating asked for, as a multiple of the load current (AC 43.13-1B Table 11-4); 1 for the kind of load that
    the rating is stated for."""
    return 1.0 if load_kind == rated_for else relay_tables.switch_factor(load_kind, system_v).value


@dataclass(frozen=True)
class Switching:
    """Per circuit, axes (cases, circuits) in A."""

    switch_a: Floats
    """Rating a plain switch would need: each load's current times its kind's factor."""
    load_a: Floats
    """Current the contact carries."""


def switching_of(network: Network, demands: Demands) -> Switching:
    """Switch ratings asked for by the loads of each circuit."""
    consumers = network.consumers
    member = np.flatnonzero(consumers.kind == LOAD)
    kinds, circuits = [consumers.load_kind[number] for number in member.tolist()], len(network.circuit_ids)
    of = consumers.circuit[member]
    stated = {number: switch.loads_rated for number in network.marked.get("switch", ())
              if (switch := network.circuits[number].switch) is not None}
    rated_for = [stated.get(number) for number in of.tolist()]
    factors = given(np.array([factor(kind, network.system_v, rated)
                              for kind, rated in zip(kinds, rated_for, strict=True)], dtype=float), "F", "-",
                    lambda place: f"factor of a {kinds[place]} load",
                    lambda place: "its switch is rated for this kind of load" if kinds[place] == rated_for[place] else
                    relay_tables.switch_factor(kinds[place], network.system_v).source.line())
    weighted = apply(switch_rating, current_a=demands.load[:, FIVE_S, member], factor=factors)
    cases = len(weighted)
    cell = np.add.outer(np.arange(cases) * circuits, of)
    found = np.asarray(np.bincount(cell.reshape(-1), bare(weighted).reshape(-1), cases * circuits), dtype=float
                       ).reshape(cases, circuits)
    asked = summed(found, weighted, 1, lambda number: np.flatnonzero(of == number), "the ratings its loads ask for "
                   "together", lambda place: network.names.consumer(int(member[place])), "AC 43.13-1B table 11-4")
    return Switching(switch_a=asked, load_a=demands.circuit[:, FIVE_S])


def contact_a(network: Network, demands: Demands) -> Floats:
    """Rating of a contact that each circuit asks for (cases, circuits) [A]: by what lasts, or by what is on for
    seconds, which may exceed the rating by the published multiple for that time."""
    lasting = np.maximum(demands.circuit[:, FIVE_MIN], demands.circuit[:, CONTINUOUS])
    short = np.array([relay_tables.short_time_multiple(each).value for each in seconds_on(network).tolist()])
    return np.asarray(np.maximum(lasting, demands.circuit[:, FIVE_S] / short))


class Contact(NamedTuple):
    """What a contact bears in one place. NaN where nothing is on file."""

    limit_a: float
    """Of its load, the figures printed for lamps and motors apart."""
    ambient_c: float
    is_printed: bool
    """The ambient lies within the printed columns; past them `limit_a` is the last printed figure, too high."""
    make_a: float
    lamp_a: float
    motor_a: float
    source: str

    def carries_a(self, kinds: Collection[str | None]) -> float:
        """What it carries of these kinds of load [A], a kind not given being the worst one; NaN where nothing is on
        file."""
        by_kind = [value for kind, value in (("lamp", self.lamp_a), ("motor", self.motor_a))
                   if kind in kinds or None in kinds]
        return min((value for value in (self.limit_a, *by_kind) if not math.isnan(value)), default=math.nan)


@lru_cache(maxsize=512)
def contact(name: str, ambient_c: float) -> Contact:
    """The printed figures of a contact type at an ambient."""
    try:
        printed = relay_tables.relay_contact(name)
        rating = relay_tables.contact_rating(name, ambient_c)
    except TableError:
        return Contact(math.nan, ambient_c, False, math.nan, math.nan, math.nan, "no published limits on file")
    hottest = [value for value in (printed.rated_125_a, printed.rated_85_a, printed.rated_23_a) if value is not None]
    limit = rating.value if rating is not None else hottest[0] if hottest else math.nan
    return Contact(limit, ambient_c, rating is not None, _or_nan(printed.make_a), _or_nan(printed.lamp_a),
                   _or_nan(printed.motor_a), printed.source.line())


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value


class InPlace(NamedTuple):
    """A relay's contact where it sits, with what it switches."""

    contact: Contact
    kinds: frozenset[str | None]
    """Kinds of the loads behind it, None for one not given."""
    carries_a: float
    """What it carries of those loads [A]; past the printed temperatures too high, NaN where nothing is on file."""


def contact_in_place(network: Network, owner: tuple[str, str], relay: Relay) -> InPlace:
    """The contact of the relay of a circuit or a feed, at the ambient of its place."""
    key = (*owner, relay.contact)
    found: InPlace | None = network.contacts_seen.get(key)
    if found is None:
        kind, name = owner
        kinds = kinds_behind(network, network.feed_node[name]) if kind == "feed" else \
            frozenset(load.kind for load in network.plan.circuit[name].load)
        each = contact(relay.contact, network.places.relay(owner).ambient_c)
        found = network.contacts_seen[key] = InPlace(each, kinds, each.carries_a(kinds))
    return found


def fitted_contacts(network: Network) -> Mapping[int, InPlace]:
    """The relay contact of each circuit that has one, by the number of the circuit."""
    return of_circuits(network, fitted_contact, "relay")


def fitted_contact(network: Network, number: int) -> InPlace | None:
    """The relay contact of a circuit; None of one without, or out of scope."""
    circuit = network.circuits[number]
    if circuit.relay is None or circuit.out_of_scope is not None:
        return None
    return contact_in_place(network, ("circuit", network.circuit_ids[number]), circuit.relay)


def kinds_behind(network: Network, node: int) -> frozenset[str | None]:
    """Kinds of the loads behind a supply node, None for one not given."""
    consumers = network.consumers
    return frozenset(network.circuits[int(consumers.circuit[each])].load[int(consumers.number[each])].kind
                     for each in _loads_behind(network, node).tolist())


def loads_to_share_out(network: Network, node: int) -> bool:
    """Whether more than one load is behind a supply node, those of an `either` group counted once: a single one on two
    fuses or contacts side by side is protected by neither alone."""
    group = network.consumers.group[_loads_behind(network, node)]
    return int(np.count_nonzero(group < 0)) + len(distinct(group[group >= 0])) > 1


def _loads_behind(network: Network, node: int) -> Ints:
    """Numbers of the loads behind a supply node, among the consumers."""
    tree = network.supply
    behind = tree.order[tree.start[node]:tree.end[node]]
    return np.asarray(behind[network.consumers.kind[behind] == LOAD])


def switch_rated(rating_a: float, rated_for: RatedFor | None) -> str:
    """A rating of a switch in words, with the kind of load it is stated for."""
    return writing.rating(rating_a) + for_loads(rated_for)


def switch_to_fit(asked_a: float, carried_a: float, kinds: Collection[str], rated_for: RatedFor | None = None) -> str:
    """The rating a switch needs, in words: for a resistive load, and where all its loads are of one kind the rating
    that is stated for that; or for the kind of load the one fitted is rated for."""
    asked = writing.burden(asked_a, "A")
    if rated_for is not None or at_most(asked_a, carried_a):
        return asked + for_loads(rated_for)
    of_kind = next(iter(kinds)) if len(set(kinds)) == 1 else None
    other = f", or {writing.burden(carried_a, 'A')}{for_loads(of_kind)}" if of_kind in get_args(RatedFor) else ""
    return f"{asked} resistive{other}"


def for_loads(kind: str | None) -> str:
    """The kind of load a rating is for, behind the rating: `` for lamps``; empty for none."""
    return f" for {loads_of(kind)}" if kind is not None else ""


def loads_of(kind: str) -> str:
    """Loads of a kind: ``lamps``."""
    return f"{kind}s"


def unrated_switch(required: bool) -> str:
    """What is said behind the current through a switch without a rating, where it asks for a relay or advises one."""
    limit, asked = (REQUIRED_A, "required") if required else (ADVISED_A, "advised")
    return f"through a switch of unknown rating: above {writing.rating(limit)} a relay is {asked}"


def need(network: Network, switching: Switching, number: int) -> tuple[bool, str]:
    """Whether a circuit needs a relay, and why, in a sentence."""
    circuit = network.circuits[number]
    load_a, asked = float(switching.load_a[0, number]), float(switching.switch_a[0, number])
    relay: Relay | None = circuit.relay
    drawn = writing.burden(load_a, "A")
    if relay is not None and relay.driver == "ecu":
        limit = relay.driver_limit
        if limit is None:
            return True, f"the control unit's output is not meant to carry {drawn}: its limit is not given"
        held, may = writing.against(load_a, limit, "A")
        if not at_most(load_a, limit):
            return True, f"{held} is more than the {may} the control unit's output may carry"
        return False, f"the control unit's output may carry {may}, the load draws {held}"
    switch = circuit.switch
    if switch is not None and switch.rating is not None:
        wanted, rated = writing.against(asked, switch.rating, "A")
        kind = for_loads(switch.rated_for)
        return (not at_most(asked, switch.rating),
                f"the loads ask for a switch of {wanted}{kind}, the switch is rated {rated}{kind}")
    if switch is not None or relay is not None:
        if not at_most(load_a, REQUIRED_A):
            return True, f"{drawn} {unrated_switch(required=True)}"
        if not at_most(load_a, ADVISED_A):
            return False, f"{drawn} {unrated_switch(required=False)}, above {writing.rating(REQUIRED_A)} required"
        return False, f"{drawn}: a small load, the switch is not rated in the plan"
    return False, "no switch or relay of its own: on whenever its feed is live"
