"""The smallest relay contact on file rated for a load in its place."""

from __future__ import annotations

import math
from collections.abc import Collection

import numpy as np

from fuseplan.checks.contacts import surges
from fuseplan.checks.rules.relay_overloaded import asked_a
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN
from fuseplan.engine.network import coil_resistance
from fuseplan.engine.relays import contact, kinds_behind
from fuseplan.engine.results import Results
from fuseplan.engine.stock import AtHand
from fuseplan.plan.parts import Relay
from fuseplan.tables import relays as relay_tables


def _smallest(stock: AtHand, need_a: float, surge_a: float, ambient_c: float, kinds: Collection[str | None],
              coil_a: float, system_v: float, highest_v: float) -> str | None:
    found = []
    for name, entry in relay_tables.CONTACTS.items():
        if entry.contact != "NO":
            continue
        printed = contact(name, ambient_c)
        limit = printed.carries_a(kinds)
        coil_ohm = coil_resistance(name) * (system_v / 12.0) ** 2
        if (printed.is_printed and limit >= need_a and not printed.make_a < surge_a
                and highest_v / coil_ohm <= coil_a):
            found.append((limit, name))
    return min(stock.relays_first(found))[1] if found else None


def for_circuit(results: Results, number: int, relay: Relay | None) -> str | None:
    """A contact for a circuit's load and, where a control unit drives it, with a coil its output is rated for.

    The load is taken at the upper bound of its evidence, as entered where nothing on file is rated for that.
    """
    network = results.network
    wanted = np.arange(len(network.circuits)) == number
    surge, _ = surges(results, wanted)
    ambient = network.places.relay(("circuit", network.circuit_ids[number])).ambient_c
    kinds = kinds_behind(network, int(network.circuit_node[number]))
    for bound in (1, 0):
        need = float(asked_a(results.demands)[bound, number])
        found = _smallest(network.stock, need, float(surge[bound, number]), ambient, kinds, *_coil(results, relay))
        if found is not None:
            return found
    return None


def for_feed(results: Results, name: str) -> str | None:
    """A contact for everything a feed hands out; as `for_circuit`."""
    feed, node = results.plan.feed[name], results.network.feed_node[name]
    ambient, kinds = results.network.places.relay(("feed", name)).ambient_c, kinds_behind(results.network, node)
    for bound in (1, 0):
        demand = results.demands.supply[bound, :, node]
        need = max(float(demand[FIVE_MIN]), float(demand[CONTINUOUS]))
        found = _smallest(results.network.stock, need, 0.0, ambient, kinds, *_coil(results, feed.relay))
        if found is not None:
            return found
    return None


def _coil(results: Results, relay: Relay | None) -> tuple[float, float, float]:
    """Most the coil may draw [A], system voltage and highest voltage [V]."""
    limit = math.inf
    if relay is not None and relay.driver == "ecu" and relay.driver_limit is not None:
        limit = float(relay.driver_limit)
    return limit, results.network.system_v, float(max(
        each.root_v.max() for each in (*results.worst, results.balance.average)))
