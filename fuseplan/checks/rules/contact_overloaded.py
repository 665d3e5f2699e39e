"""A contact of a connector carries more than it may with its wire and its loaded neighbours.

What a maker prints for a contact holds for one alone on its thickest wire. A thinner wire takes less heat away, and
loaded neighbours add theirs. Contacts in parallel do not share evenly. A supply, an earth or an output of which no
current is known counts as loaded.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.limit import over_limit
from fuseplan.checks.pins import area_mm2, connector_subject, pin_currents, pin_path
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged
from fuseplan.engine.results import Results
from fuseplan.plan.looms import Connector, Pin
from fuseplan.plan.mating import normal
from fuseplan.plan.nets import GONE, Nets, PinId
from fuseplan.plan.words import LIVE_SIGNALS
from fuseplan.quantities import writing
from fuseplan.tables.contacts import loading_factor, parallel_a

SHAPE = ("one connector maker's product specification 108-40005, figure 4B: factors of a board connector, taken as the "
         "shape because the maker's own are not entered")


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    plan = results.plan
    rated = {name: each for name, each in plan.connector.items() if each.contact_current is not None}
    if not rated:
        return
    nets = Nets(plan)
    known = pin_currents(results, nets.ends)
    for name, connector in rated.items():
        currents = _currents(name, connector, known)
        silent = {PinId(name, number) for number, pin in connector.pin.items() if _may_carry(pin)} - currents.keys()
        loaded = silent | {at for at, each in currents.items() if not each[0] <= 0}
        groups = _groups(nets, name, connector, currents)
        for group in groups:
            yield from _group(rule, results, group, currents, len(loaded.union(group)))
        for at in sorted(silent.difference(*groups)):
            yield rule.unjudged(connector_subject(at), f"current through {at.words}")


def _may_carry(pin: Pin) -> bool:
    """Whether a wire is more than a signal, or may be."""
    return pin.fate not in GONE and pin.signal in (None, *LIVE_SIGNALS, "earth_31", "coil_driver")


def _currents(name: str, connector: Connector, known: dict[PinId, np.ndarray]) -> dict[PinId, np.ndarray]:
    """Current of each pin of which any is stated: that of the circuits that end on it, else the pin's own."""
    found = {}
    for number, pin in connector.pin.items():
        at = PinId(name, number)
        if at in known:
            found[at] = known[at]
        elif pin.current is not None:
            found[at] = np.array([float(pin.current)] * 2)
    return found


def _groups(nets: Nets, name: str, connector: Connector, currents: dict[PinId, np.ndarray]) -> list[list[PinId]]:
    """Pins with a current, each with those on the same net that do the same and of which none is stated: contacts in
    parallel. One that does something else is a branch, and takes nothing off the others."""
    by_net: dict[int, list[PinId]] = defaultdict(list)
    for number in connector.pin:
        at = PinId(name, number)
        by_net[id(nets.of(at))].append(at)
    found = []
    for pins in by_net.values():
        with_current = [at for at in pins if at in currents]
        alike = [at for at in pins if at not in currents and len(with_current) == 1
                 and _same(connector.pin[at.pin], connector.pin[with_current[0].pin])]
        found += [[at, *alike] for at in with_current]
    return found


def _same(one: Pin, other: Pin) -> bool:
    return one.fate not in GONE and one.signal == other.signal and bool(one.function) \
        and normal(one.function) == normal(other.function)


def _group(rule: Rule, results: Results, pins: list[PinId], currents: dict[PinId, np.ndarray], loaded: int
           ) -> Iterator[Finding | Unjudged]:
    """Contacts in parallel, or one alone; `loaded` counts them and all others of the connector that carry current."""
    name = pins[0].connector
    connector = results.plan.connector[name]
    at = next(each for each in pins if each in currents)
    areas = [_area(results, each) for each in pins]
    count = connector.cavities or len(connector.pin)
    share = None if loaded <= 1 else min(1.0, loaded / count)
    factors = [None if math.isnan(area) else loading_factor(area, share) for area in areas]
    if any(each is None for each in factors):
        yield rule.unjudged(connector_subject(at), f"what the contact {at.words} may carry: the size of its wire is "
                                                   "not entered, or thinner than any printed")
        return
    alone = float(connector.contact_current or math.nan)
    factor = min(each.value for each in factors if each is not None)
    limit = parallel_a(alone * factor, len(pins))
    judged = over_limit(np.asarray(currents[at])[:, None], limit, True)
    words = f"{len(pins)} contacts in parallel" if len(pins) > 1 else f"contact {at.words}"
    for _, bound in judged.fails:
        load = float(currents[at][bound])
        neighbours = "alone" if share is None else f"with {writing.stated(share, 'share')} of the contacts loaded"
        yield rule.finding(
            results, connector_subject(at),
            f"{MEASURE_WORDS if bound else ''}{writing.burden(load, 'A')} continuous through {words}; "
            f"{writing.rating(alone)} alone on the thickest wire come to {writing.limit(limit, 'A')} on this wire "
            f"{neighbours}", figure=load, limit=limit, unit="A", measure=bool(bound),
            fields=(f"connector.{name}.contact_current", pin_path(at, "current")))
    if judged.unknown:
        yield rule.unjudged(connector_subject(at), f"current through {at.words}")


def _area(results: Results, at: PinId) -> float:
    return area_mm2(results.plan.connector[at.connector].pin[at.pin].size)


RULE = Rule(
    consequence="burns",
    title="Contact overloaded",
    source=f"contact current entered for the connector; {SHAPE}; contacts in parallel: 20 % less for each doubling, a "
           "trade page, and a naval standard warns that they do not share evenly",
    caution="A contact that runs hot loses its spring, runs hotter, and melts the connector.",
    fix="a contact of the next size, a thicker wire in it, or the load on a connector of its own",
    example="fails: 8 A on AWG 20 through a 10 A contact with half of the contacts loaded; passes: 3 A",
    find=find,
)
