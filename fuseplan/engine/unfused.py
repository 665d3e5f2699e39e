"""Which wires may go without a fuse: by the role stated for them, their length from the battery and their cover.

The reason a user writes under `unfused` is shown and never judged. A wire that may go without one may have one of any
rating: it then protects against shorts at most, which is more than nothing.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from fuseplan.array_types import Flags, Ints
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.names import place_words
from fuseplan.engine.network import Network
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.roles import MAY_BE_UNFUSED
from fuseplan.plan.words import FeedRole
from fuseplan.quantities import writing
from fuseplan.records import dataclass

Owner = tuple[str, str]
Misfit = tuple[str, str]
"""Why a role does not fit what is on a wire, in the middle of a sentence, and what to state where it does, an order."""

CABLES: tuple[FeedRole, ...] = ("starter_cable", "alternator_cable")
"""Roles of feeds that are named for what is on them."""
LINK = "state the role `battery_link`"
"""The order where a cable ends at the fuse of what its role is named for."""
INCH_M = 0.0254
OPEN_M, ENCLOSED_M = 7 * INCH_M, 40 * INCH_M
"""Length of conductor before the first fuse, bare and in a sheath or enclosure all the way: 33 CFR 183.455(b)."""
CABLE_M = 72 * INCH_M
"""Length of an unfused cable from the battery, covered all the way: ABYC E-11, as reported by a boating magazine."""

LENGTH_SOURCE = "33 CFR 183.455(b), a rule for boats, used for want of one for cars"
CABLE_SOURCE = ("ADR 2017, 9.2.2.3: every circuit protected, except battery to cold-start aid, to alternator and to "
                "starter, each as short as possible; 72 in from the battery, covered all the way: ABYC E-11, a rule "
                "for boats, used for want of one for cars, as reported by a boating magazine")


@dataclass(frozen=True)
class Excuse:
    """What the plan states in favour of a wire without a fuse.

    Attributes:
        role: the role stated, in words; None where none is
        length_m: from the battery to its far end; NaN where a length on the way is not stated
        against: what speaks against it, in the middle of a sentence; with a role and none of these it may go unfused
        to_state: what the plan would have to state first for the role to fit, an order; empty where it fits
        most_m: length from the battery allowed with that stated
        left: with that stated, something still speaks against it: length or cover
    """

    role: str | None
    length_m: float
    against: tuple[str, ...]
    to_state: str = ""
    most_m: float = CABLE_M
    left: bool = False

    @property
    def holds(self) -> bool:
        """The wire may go without a fuse."""
        return self.role is not None and not self.against


class Unfused:
    """The wires of a plan that no fuse protects, or none would without one device, with what excuses them.

    Args:
        without: number of a device that is looked through as if it were not fitted
    """

    def __init__(self, network: Network, without: int = -1) -> None:
        self.network, self.plan, self.without = network, network.plan, without
        segments = network.segments
        self.wires: dict[Owner, list[int]] = defaultdict(list)
        for index in np.flatnonzero(self._bare(network.segment_guard) & ~segments.returns).tolist():
            if not is_coil_wire(segments.place[index]):
                self.wires[segments.owner[index]].append(index)

    def _bare(self, guard: Ints) -> Flags:
        """Where no fuse protects, or the one looked through alone does."""
        return np.asarray((guard < 0) | (guard == self.without))

    def of(self, owner: Owner) -> Excuse:
        """What excuses a circuit, a feed or the alternator cable."""
        kind, name = owner
        return self.circuit(name) if kind == "circuit" else self.feed(name) if kind == "feed" else self.alternator()

    def circuit(self, name: str) -> Excuse:
        """What excuses a circuit without a fuse."""
        circuit = self.plan.circuit[name]
        before = self._to_feed(circuit.feed)
        if circuit.role not in MAY_BE_UNFUSED:
            return Excuse(None, before + self._length(("circuit", name)), ())
        return self._excuse(("circuit", name), circuit.role, before, self._no_such_loads(name))

    def feed(self, name: str) -> Excuse:
        """What excuses the wire to a feed without a fuse."""
        role = self.plan.feed[name].role
        return Excuse(None, self._before(name) + self._length(("feed", name)), ()) if role is None else \
            self._as(name, role)

    def would_be(self, name: str) -> FeedRole | None:
        """The role that would excuse a feed without one, as what it is named for is on it; None where none would."""
        return next((role for role in CABLES if self._as(name, role).holds), None)

    def _as(self, name: str, role: FeedRole) -> Excuse:
        """What excuses the wire to a feed in a role."""
        return self._excuse(("feed", name), role, self._before(name), self._leads_elsewhere(name, role))

    def _before(self, name: str) -> float:
        """Length of the unprotected wires from the battery to where that to a feed starts [m]."""
        return self._to_feed(self.plan.feed[name].upstream)

    def alternator(self) -> Excuse:
        """What excuses the alternator cable without a fuse; its role is plain."""
        alternator = self.plan.alternator
        return self._excuse(("alternator", ""), "alternator_cable",
                            self._to_feed(None if alternator is None else alternator.feed))

    def branch(self, owner: Owner) -> bool:
        """Whether a circuit could go without a fuse if the battery were where it starts; the alternator cable is
        counted from the battery, as a short in it is fed by the alternator too."""
        if owner[0] == "alternator":
            return self.alternator().holds
        return self._excuse(owner, str(self.plan.circuit[owner[1]].role), 0.0, self._no_such_loads(owner[1])).holds

    def _excuse(self, owner: Owner, role: str, before_m: float, misfit: Misfit | None = None) -> Excuse:
        length = before_m + self._length(owner)
        against = self._too_long_or_bare(owner, role, length)
        if misfit is None:
            return Excuse(role, length, against, most_m=longest_m(role), left=bool(against))
        why, to_state = misfit
        then = "battery_link" if to_state == LINK else role
        return Excuse(role, length, (why, *against), to_state, longest_m(then),
                      bool(self._too_long_or_bare(owner, then, length)))

    def _too_long_or_bare(self, owner: Owner, role: str, length: float) -> tuple[str, ...]:
        """What speaks against a wire of a role that fits, in the middle of a sentence."""
        segments = self.network.segments
        reasons = []
        bare = [index for index in self.wires[owner] if segments.segment[index].cover is None]
        if np.isnan(length) or not self._named(owner):
            reasons.append("its length from the battery is not stated")
        elif not at_most(length, longest_m(role)):
            reasons.append(f"it is {writing.burden(length, 'm')} long from the battery; the limit is "
                           f"{writing.limit(longest_m(role), 'm')}")
        if bare and not (role == "battery_link" and at_most(length, OPEN_M)):
            places = " and ".join(place_words(segments.place[index]) for index in bare)
            reasons.append(f"no cover is stated for {places}")
        return tuple(reasons)

    def _named(self, owner: Owner) -> bool:
        """Whether any wire is stated on the way from the battery to an owner's far end."""
        at = self.plan.circuit[owner[1]].feed if owner[0] == "circuit" else None
        return bool(self.wires[owner]) or any(self.wires["feed", name] for name in way_to(self.plan, at))

    def _to_feed(self, name: str | None) -> float:
        return sum((self._length(("feed", each)) for each in way_to(self.plan, name)), 0.0)

    def _length(self, owner: Owner) -> float:
        """Length of an owner's unprotected supply wire to its farthest load [m]."""
        lengths: dict[str, float] = defaultdict(float)
        segments = self.network.segments
        for index in self.wires.get(owner, ()):
            lengths[segments.place[index].rpartition(".")[0]] += float(segments.length_m[index])
        own = [value for place, value in lengths.items() if place.startswith("load.")]
        common = [value for place, value in lengths.items() if not place.startswith("load.")]
        return float(sum(common) + (max(own) if own and not np.isnan(own).any() else sum(own)))

    def _no_such_loads(self, name: str) -> Misfit | None:
        return self._no_starter(name) if self.plan.circuit[name].role == "starter" else self._no_glow_plugs(name)

    def _no_starter(self, name: str) -> Misfit | None:
        consumers, number = self.network.consumers, self.network.circuit_number[name]
        mine = np.flatnonzero((consumers.circuit == number) & (consumers.kind == LOAD))
        cranking = np.array([condition.state == "crank" for condition in self.network.conditions], dtype=bool)
        if consumers.possible[~cranking][:, mine].any():
            return ("its loads are on when not cranking, so it is no starter",
                    "if it is the starter, let its loads be on only while cranking (`when`)")
        return None

    def _no_glow_plugs(self, name: str) -> Misfit | None:
        kinds = {load.kind for load in self.plan.circuit[name].load}
        return None if kinds <= {"resistive"} else (
            "its loads are not all resistive, as glow plugs are",
            "if they are glow plugs, set their kind to resistive")

    def _leads_elsewhere(self, name: str, role: FeedRole) -> Misfit | None:
        plan = self.plan
        if role == "starter_cable":
            return self._no_starter_on(name)
        end = None if plan.alternator is None else plan.alternator.feed
        if role == "alternator_cable" and name not in way_to(plan, end):
            return "the alternator is not on it", "if it is, let the alternator cable end on it (alternator.feed)"
        if role == "alternator_cable" and end and not self._bare(self.network.guard[self.network.feed_node[end]]):
            return "the alternator is on it behind a fuse", LINK
        return None

    def _no_starter_on(self, name: str) -> Misfit | None:
        """Why a feed is no starter cable; one that ends at a fuse is a link to that."""
        starters = {other: circuit.feed for other, circuit in self.plan.circuit.items() if circuit.role == "starter"}
        on_it = [other for other, feed in starters.items() if name in way_to(self.plan, feed)]
        guard, node, number = self.network.guard, self.network.circuit_node, self.network.circuit_number
        if any(self._bare(guard[node[number[other]]]) for other in on_it):
            return None
        if on_it:
            return "the circuit with the role starter is on it behind a fuse", LINK
        if starters:
            may_be = any(self.plan.circuit[other].fuse is None for other in starters)
            order = "if it is, feed the circuit of the starter from it"
        else:
            fed = [other for other, circuit in self.plan.circuit.items() if name in way_to(self.plan, circuit.feed)]
            may_be = not fed or any(self._bare(guard[node[number[other]]]) for other in fed)
            order = "if the starter is on it, " + (
                "state the role `starter` for its circuit" if fed else
                "enter its circuit with the role `starter`, fed from it")
        return "no circuit with the role starter is on it", order if may_be else LINK


def longest_m(role: str) -> float:
    """Length from the battery that a covered wire of a role may have without a fuse [m]."""
    return ENCLOSED_M if role == "battery_link" else CABLE_M


def against_shorts(network: Network) -> Flags:
    """Devices with no other before them whose wires may all go without one, so that any rating is more protection than
    none (J,)."""
    found = network.guard[network.supply.parent[network.fuse_node]] < 0
    for index in np.flatnonzero(found).tolist():
        found[index] = _may_be_left_out(network, index)
    return found


def _may_be_left_out(network: Network, index: int) -> bool:
    kind, name = network.fuses[index].owner
    plan = network.plan
    role = plan.circuit[name].role in MAY_BE_UNFUSED if kind == "circuit" else \
        plan.feed[name].role is not None if kind == "feed" else kind == "alternator"
    if not role:
        return False
    unfused = Unfused(network, index)
    owners = {network.fuses[index].owner}
    for segment in np.flatnonzero(network.segment_guard == index).tolist():
        if is_coil_wire(network.segments.place[segment]):
            return False
        owners.add(network.segments.owner[segment])
    return all(each[0] != "earth" and unfused.of(each).holds for each in owners)


def short_branches(network: Network) -> Flags:
    """Wires of a branch that has no fuse of its own on a feed that has one, and is itself short and covered enough to
    go without any (S,): of the feed's fuse they need protection against shorts alone."""
    found = np.zeros(network.segments.count, dtype=bool)
    wanted = {("alternator", ""), *(("circuit", network.circuit_ids[number]) for role in MAY_BE_UNFUSED
                                    for number in network.marked.get(f"role {role}", ())
                                    if network.circuits[number].role == role)}
    holds: dict[tuple[Owner, int], bool] = {}
    for index in network.guarded_by_others.tolist():
        owner, guard = network.segments.owner[index], int(network.segment_guard[index])
        if owner in wanted and not is_coil_wire(network.segments.place[index]):
            if (owner, guard) not in holds:
                holds[owner, guard] = Unfused(network, guard).branch(owner)
            found[index] = holds[owner, guard]
    return found


def reason_given(reason: str | None) -> str:
    """The plan's own reason for a missing fuse, as the end of a sentence; empty where there is none."""
    return f"; the reason given, '{reason}', is shown, but does not count" if reason else ""
