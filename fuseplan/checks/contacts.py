"""The relay contact that carries a load in its place, the same in every fix and proposal; and what loads draw at
switch-on."""

from __future__ import annotations

import math
from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.at_limit import at_most
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.load_figures import usual_inrush
from fuseplan.engine.network import coil_resistance
from fuseplan.engine.relays import contact, contact_a, kinds_behind
from fuseplan.engine.results import Results
from fuseplan.engine.solve import BOUNDS
from fuseplan.plan.parts import Relay
from fuseplan.tables import relays as relay_tables

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SURGING = ("lamp", "motor")
"""Kinds whose switch-on surge is judged at its usual multiple where the plan gives none."""


def contact_for_circuit(results: Results, number: int, relay: Relay | None, bound: int) -> str | None:
    """The smallest relay contact on file that carries a circuit's load and may close on its surge in its place, with a
    coil that the output which drives it is rated for: one in stock before any other; None where none does."""
    network = results.network
    surge, _ = surges(results, np.arange(len(network.circuits)) == number)
    ambient_c = network.places.relay(("circuit", network.circuit_ids[number])).ambient_c
    kinds = kinds_behind(network, int(network.circuit_node[number]))
    return _smallest(results, float(contact_a(results.demands)[bound, number]), float(surge[bound, number]), ambient_c,
                     kinds, relay)


def contact_for_feed(results: Results, name: str, bound: int) -> str | None:
    """A contact for everything a feed hands out; as `contact_for_circuit`."""
    node = results.network.feed_node[name]
    ambient_c = results.network.places.relay(("feed", name)).ambient_c
    need_a = float(results.demands.lasting_at(np.array([node]))[bound, 0])
    return _smallest(results, need_a, 0.0, ambient_c, kinds_behind(results.network, node),
                     results.plan.feed[name].relay)


def _smallest(results: Results, need_a: float, surge_a: float, ambient_c: float, kinds: Collection[str | None],
              relay: Relay | None) -> str | None:
    network, highest_v = results.network, float(max(
        each.root_v.max() for each in (*results.worst, results.balance.average)))
    coil_a = math.inf if relay is None or relay.driver != "ecu" or relay.driver_limit is None else \
        float(relay.driver_limit)
    found = []
    for name, entry in relay_tables.CONTACTS.items():
        printed = contact(name, ambient_c)
        coil_ohm = coil_resistance(name) * (network.system_v / 12.0) ** 2
        if entry.contact == "NO" and printed.is_printed and at_most(need_a, printed.carries_a(kinds)) \
                and at_most(surge_a, printed.make_a) and at_most(highest_v / coil_ohm, coil_a):
            found.append((printed.carries_a(kinds), name))
    return min(network.stock.relays_first(found))[1] if found else None


def surges(results: Results, wanted: Flags, usual: bool = True) -> tuple[Floats, Flags]:
    """Switch-on current of the loads of each wanted circuit, all starting together (2, circuits) in A, and whether a
    usual multiple stands in for one the plan does not give. Of an `either` group the strongest surge counts."""
    consumers, numbers = results.network.consumers, results.load_consumers
    circuits, kinds = consumers.circuit[numbers], consumers.load_kind
    multiple = consumers.inrush_given[numbers]
    stands_in = np.array([usual_inrush(kinds[number])[0] if usual and kinds[number] in SURGING else math.nan
                      for number in numbers.tolist()], dtype=float)
    taken = np.isnan(multiple) & ~np.isnan(stands_in) & wanted[circuits]
    multiple = np.nan_to_num(np.where(np.isnan(multiple), stands_in, multiple), nan=1.0)
    current = results.demands.load[:, FIVE_S, numbers] * multiple * wanted[circuits]
    group = consumers.group[numbers]
    count = len(results.network.circuits)
    surge = np.zeros((BOUNDS, count))
    for bound in range(BOUNDS):
        surge[bound] = np.bincount(circuits, weights=current[bound] * (group < 0), minlength=count)
    strongest: dict[tuple[int, int], Floats] = {}
    for place in np.flatnonzero(group >= 0).tolist():
        key = (int(circuits[place]), int(group[place]))
        strongest[key] = np.asarray(np.maximum(strongest.get(key, 0.0), current[:, place]))
    for (number, _), pair in strongest.items():
        surge[:, number] += pair
    assumed = np.zeros(count, dtype=bool)
    assumed[circuits[taken]] = True
    return surge, assumed
