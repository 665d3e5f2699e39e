"""The relay contact that carries a load in its place, the same in every fix and proposal; and what loads draw at
switch-on."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.checks.rule import Finding
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.coils import coil_resistance
from fuseplan.engine.demand import Demands
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.load_figures import usual_inrush
from fuseplan.engine.relays import contact, contact_a, kinds_behind
from fuseplan.engine.results import Results
from fuseplan.engine.source import regulator_voltage_of
from fuseplan.engine.surges import is_limited, peaks
from fuseplan.formulas.inrush import limited_inrush
from fuseplan.plan.parts import Relay
from fuseplan.quantities import writing
from fuseplan.tables import relays as relay_tables
from fuseplan.trace import bare

SURGING = ("lamp", "motor")
"""Kinds whose switch-on surge is judged at its usual multiple where the plan gives none."""


BODIES = ("micro", "mini", "maxi")
"""Trade sizes of relays, from the smallest: each has a socket of its own."""


def body_of(name: str) -> int:
    """Place of a contact's relay among the trade sizes; that of the largest where it is of none."""
    body = name.partition("_")[0]
    return BODIES.index(body) if body in BODIES else len(BODIES) - 1


def contact_for_circuit(results: Results, number: int, relay: Relay | None, bound: int, surge_bound: int | None = None
                        ) -> str | None:
    """The smallest relay contact on file that carries a circuit's load and may close on its surge in its place, with a
    coil that the output which drives it is rated for: one in stock before any other, then one that goes in the socket
    of the relay fitted, has one contact, and a drop that is on file and no larger than that of the one fitted; None
    where none does. `surge_bound` is the end of the evidence for the surge, where another."""
    network = results.network
    surge = surges(results, np.array([number]), results.demands)
    ambient_c = network.places.relay(("circuit", network.circuit_ids[number])).ambient_c
    kinds = kinds_behind(network, int(network.circuit_node[number]))
    return _smallest(results, float(contact_a(network, results.demands)[bound, number]),
                     float(surge[bound if surge_bound is None else surge_bound, 0]), ambient_c, kinds, relay)


def contact_for_feed(results: Results, name: str, bound: int) -> str | None:
    """A contact for everything a feed hands out; as `contact_for_circuit`."""
    node = results.network.feed_node[name]
    ambient_c = results.network.places.relay(("feed", name)).ambient_c
    need_a = float(results.demands.lasting_at(np.array([node]))[bound, 0])
    return _smallest(results, need_a, 0.0, ambient_c, kinds_behind(results.network, node),
                     results.plan.feed[name].relay)


def contact_to_fit(results: Results, number: int, relay: Relay | None) -> str | None:
    """The contact to fit in a circuit: for the worst-case current where one is on file, else as entered. A surge that
    is only too high at the worst-case current is measured first, before a relay of a larger size is fitted for it."""
    worst, as_entered = (contact_for_circuit(results, number, relay, bound) for bound in (1, 0))
    modest = contact_for_circuit(results, number, relay, 1, 0)
    if worst is not None and modest is not None and body_of(modest) < body_of(worst):
        return modest
    return worst or modest or as_entered


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
                and at_most(surge_a, printed.make_a) and (math.isinf(coil_a) or at_most(highest_v / coil_ohm, coil_a)):
            found.append((printed.carries_a(kinds), name))
    fitted = None if relay is None else relay_tables.CONTACTS.get(relay.contact)
    fitted_ohm = math.inf if fitted is None or fitted.contact_ohm is None else fitted.contact_ohm

    def order(each: tuple[float, str]) -> tuple[bool, bool, bool, bool, float, str]:
        entry = relay_tables.CONTACTS[each[1]]
        return (fitted is not None and body_of(each[1]) != body_of(fitted.id), entry.is_one_of_two,
                entry.contact_ohm is None, (entry.contact_ohm or 0.0) > fitted_ohm, *each)

    return min(network.stock.relays_first(found), key=order)[1] if found else None


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
    multiple of their kind where the plan gives none, or without. Of an `either` group the strongest surge counts. What
    is limited by the wires is limited by those that the loads share as well."""
    network = results.network
    consumers, own = network.consumers, results.surges
    place = np.full(len(network.circuits), -1, dtype=np.int64)
    place[asked] = np.arange(len(asked))
    loads = results.load_consumers
    loads = loads[place[consumers.circuit[loads]] >= 0]
    surging = ~np.isnan(consumers.inrush_given[loads])
    if usual:
        surging |= ~np.isnan(_usual(results, loads))
    limited = surging & is_limited(network, loads)
    shared = np.zeros(consumers.count)
    shared[loads[limited]] = own.shared_ohm[consumers.circuit[loads[limited]]]
    running = bare(demands.load)[:, FIVE_S, loads]
    current = np.where(surging, peaks(network, own.loop_ohm - shared, running, loads), running)
    at, group = place[consumers.circuit[loads]], consumers.group[loads]
    # Of an `either` group the strongest alone starts.
    strongest: dict[tuple[int, int], Floats] = {}
    grouped = [(load, (int(at[load]), int(group[load]))) for load in np.flatnonzero(group >= 0).tolist()]
    for load, key in grouped:
        strongest[key] = np.asarray(np.maximum(strongest.get(key, 0.0), current[:, load]))
    for load, key in grouped:
        starts = current[:, load] >= strongest[key]
        strongest[key] = np.where(starts, np.inf, strongest[key])
        current[:, load] = np.where(starts, current[:, load], 0.0)
    found = np.zeros((2, len(current), len(asked)))
    for part, members in enumerate((limited, ~limited)):
        np.add.at(found[part].T, at[members], current[:, members].T)
    volts = regulator_voltage_of(network.plan.alternator, network.system_v)
    return np.asarray(limited_inrush(found[0], 1.0, own.shared_ohm[asked], volts) + found[1])


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
