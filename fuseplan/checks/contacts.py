"""The relay contact that carries a load in its place, the same in every fix and proposal; and what loads draw at
switch-on."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.rule import Finding
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.coils import coil_resistance
from fuseplan.engine.demand import Demands
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.load_figures import usual_inrush
from fuseplan.engine.relays import contact, contact_a, kinds_behind
from fuseplan.engine.results import Results
from fuseplan.plan.parts import Relay
from fuseplan.quantities import writing
from fuseplan.tables import relays as relay_tables

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]

SURGING = ("lamp", "motor")
"""Kinds whose switch-on surge is judged at its usual multiple where the plan gives none."""


def contact_for_circuit(results: Results, number: int, relay: Relay | None, bound: int) -> str | None:
    """The smallest relay contact on file that carries a circuit's load and may close on its surge in its place, with a
    coil that the output which drives it is rated for: one in stock before any other; None where none does."""
    network = results.network
    surge = surges(results, np.array([number]), results.demands)
    ambient_c = network.places.relay(("circuit", network.circuit_ids[number])).ambient_c
    kinds = kinds_behind(network, int(network.circuit_node[number]))
    return _smallest(results, float(contact_a(results.demands)[bound, number]), float(surge[bound, 0]), ambient_c,
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
        coil_ohm = coil_resistance(name, network.system_v)
        if entry.contact == "NO" and printed.is_printed and at_most(need_a, printed.carries_a(kinds)) \
                and at_most(surge_a, printed.make_a) and at_most(highest_v / coil_ohm, coil_a):
            found.append((printed.carries_a(kinds), name))
    return min(network.stock.relays_first(found))[1] if found else None


def unprinted_words(ambient_c: float) -> str:
    """That no current is on file for a contact in its place."""
    return f"no current is on file for this contact at {writing.burden(ambient_c, '°C')}"


def is_unprinted(finding: Finding) -> bool:
    """Whether a finding says that no current is on file for a relay contact in its place: its figure is the
    temperature there."""
    return finding.unit == "°C" and bool(finding.fields) and finding.fields[0].endswith(".relay.contact")


def unprinted_fix(results: Results, suits: Iterable[str | None]) -> str:
    """What to do about such a contact: the first that suits, if any does, or a cooler place."""
    better = next((name for name in suits if name is not None), None)
    return "move the relay to a cooler place: no contact on file is rated for it there" if better is None else \
        f"fit {results.network.stock.relay_words(better)}, or move the relay to a cooler place"


def surges(results: Results, asked: Ints, demands: Demands, usual: bool = True) -> Floats:
    """Switch-on current of the loads of each asked circuit, all starting together (cases, asked) [A]; with the usual
    multiple of their kind where the plan gives none, or without. Of an `either` group the strongest surge counts."""
    consumers = results.network.consumers
    place = np.full(len(results.network.circuits), -1, dtype=np.int64)
    place[asked] = np.arange(len(asked))
    loads = results.load_consumers
    loads = loads[place[consumers.circuit[loads]] >= 0]
    multiple = consumers.inrush_given[loads]
    if usual:
        lacking = np.isnan(multiple)
        multiple[lacking] = _usual(results, loads[lacking])
    current = demands.load[:, FIVE_S, loads] * np.where(np.isnan(multiple), 1.0, multiple)
    found = np.zeros((len(current), len(asked)))
    at, group = place[consumers.circuit[loads]], consumers.group[loads]
    np.add.at(found.T, at[group < 0], current[:, group < 0].T)
    strongest: dict[tuple[int, int], Floats] = {}
    for load in np.flatnonzero(group >= 0).tolist():
        key = (int(at[load]), int(group[load]))
        strongest[key] = np.asarray(np.maximum(strongest.get(key, 0.0), current[:, load]))
    for (circuit, _), surge in strongest.items():
        found[:, circuit] += surge
    return found


def surge_assumed(results: Results) -> Flags:
    """Circuits of which `surges` takes a usual multiple for one the plan does not give (circuits,)."""
    consumers, loads = results.network.consumers, results.load_consumers
    loads = loads[np.isnan(consumers.inrush_given[loads])]
    found = np.zeros(len(results.network.circuits), dtype=bool)
    found[consumers.circuit[loads[~np.isnan(_usual(results, loads))]]] = True
    return found


def _usual(results: Results, loads: Ints) -> Floats:
    """The usual multiple of each load's kind (loads,), NaN for a kind that is not judged by it."""
    kinds = results.network.consumers.load_kind
    return np.array([usual_inrush(kinds[load])[0] if kinds[load] in SURGING else math.nan for load in loads.tolist()],
                    dtype=float)
