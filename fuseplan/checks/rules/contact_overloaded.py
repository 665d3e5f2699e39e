"""A contact of a connector carries more than it may with its wire and its loaded neighbours.

What a maker prints for a contact holds for one alone on its thickest wire. A thinner wire takes less heat away, and
loaded neighbours add theirs. Contacts in parallel do not share evenly. A supply, an earth or an output of which no
current is known counts as loaded.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.limit import NO_ROWS, LimitRows, rows_of
from fuseplan.checks.pins import area_mm2, connector_subject, pin_currents, pin_path, wire_areas_mm2, wires_in
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.results import Results
from fuseplan.plan.looms import Connector, Pin
from fuseplan.plan.mating import normal
from fuseplan.plan.nets import GONE, CircuitEnd, Nets, PinId
from fuseplan.plan.part_names import pin_words
from fuseplan.plan.words import LIVE_SIGNALS
from fuseplan.quantities import writing
from fuseplan.tables.contacts import loading_factor, parallel_a

SHAPE = ("one connector maker's product specification 108-40005, figure 4B: factors of a board connector, taken as the "
         "shape because the maker's own are not entered")


class _Contacts(NamedTuple):
    """Contacts in parallel, or one alone.

    Attributes:
        at: the one a current is known of
        pins: all of them
        alone_a: what is entered for one alone on the thickest wire [A]
        share: loaded contacts among all of the connector, these included; None where no other is loaded
        limit_a: what they carry together on their wires [A]; None where nothing is printed for so thin a wire
    """

    at: PinId
    pins: list[PinId]
    alone_a: float
    share: float | None
    limit_a: float | None


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    rated = _rated(results)
    if not rated:
        return
    nets = results.network.nets
    found, silent = _contacts(results, nets)
    for each in found:
        if each.limit_a is None:
            yield rule.unjudged(connector_subject(each.at), f"what the contact {pin_words(results.plan, each.at)} "
                                "may carry: the size of its wire is not entered, or thinner than any printed")
    judged = _rows(results, nets, found).judged(results)
    limited = [each for each in found if each.limit_a is not None]
    for number, bound, load, limit in judged.failing:
        each = limited[number]
        words = f"{len(each.pins)} contacts in parallel" if len(each.pins) > 1 else \
            f"contact {pin_words(results.plan, each.at)}"
        neighbours = "alone" if each.share is None else \
            f"with {writing.stated(each.share, 'share')} of the contacts loaded"
        yield rule.finding(
            results, connector_subject(each.at), f"{writing.burden(load, 'A')} continuous through {words}; "
            f"{writing.rating(each.alone_a)} alone on the thickest wire come to {writing.limit(limit, 'A')} on this "
            f"wire {neighbours}", figure=load, limit=limit, unit="A", bound=bound,
            fields=(f"connector.{each.at.connector}.contact_current", pin_path(each.at, "current")))
    for at in (*(limited[number].at for number in judged.unknown), *silent):
        yield rule.unjudged(connector_subject(at), f"current through {pin_words(results.plan, at)}")


def through_pins(results: Results) -> LimitRows:
    """The continuous current through each contact of a connector, or through those in parallel, against what they carry
    on their wires beside their loaded neighbours."""
    if not _rated(results):
        return NO_ROWS
    nets = results.network.nets
    return _rows(results, nets, _contacts(results, nets)[0])


def _rated(results: Results) -> dict[str, Connector]:
    """The connectors of which a contact current is entered."""
    return {name: each for name, each in results.plan.connector.items() if each.contact_current is not None}


def _rows(results: Results, nets: Nets, found: list[_Contacts]) -> LimitRows:
    limited = [each for each in found if each.limit_a is not None]
    ends = {each.at: nets.ends[each.at] for each in limited if each.at in nets.ends}
    own = np.array([_own_a(results, each.at) for each in limited])

    def through(figures: CaseFigures) -> Floats:
        found = np.tile(own, (len(figures.demands.load), 1))
        currents = pin_currents(results, ends, figures.demands)
        for number, each in enumerate(limited):
            if each.at in currents:
                found[:, number] = currents[each.at]
        return found

    return rows_of(lambda: [connector_subject(each.at) for each in limited], np.arange(len(limited)),
                   np.array([each.limit_a for each in limited], dtype=float), through)


def _contacts(results: Results, nets: Nets) -> tuple[list[_Contacts], list[PinId]]:
    """The contacts a current is known of, and those that may carry one that is not."""
    rated = _rated(results)
    known = pin_currents(results, {at: ends for at, ends in nets.ends.items() if at.connector in rated},
                         results.demands)
    found, unknown = [], []
    for name, connector in rated.items():
        currents = _currents(results, name, connector, known)
        silent = {PinId(name, number) for number, pin in connector.pin.items() if _may_carry(pin)} - currents.keys()
        loaded = silent | {at for at, each in currents.items() if not each <= 0}
        groups = _groups(nets, name, connector, currents)
        found += [_limited(nets, connector, group, currents, len(loaded.union(group))) for group in groups]
        unknown += sorted(silent.difference(*groups))
    return found, unknown


def _may_carry(pin: Pin) -> bool:
    """Whether a wire is more than a signal, or may be."""
    return pin.fate not in GONE and pin.signal in (None, *LIVE_SIGNALS, "earth_31", "coil_driver")


def _currents(results: Results, name: str, connector: Connector, known: dict[PinId, Floats]) -> dict[PinId, float]:
    """Current as entered [A] of each pin of which any is stated: that of the circuits that end on it, else its own."""
    pins = [PinId(name, number) for number in connector.pin]
    return {at: float(known[at][0]) if at in known else _own_a(results, at) for at in pins
            if at in known or connector.pin[at.pin].current is not None}


def _own_a(results: Results, at: PinId) -> float:
    """The current entered for a pin itself [A]; NaN where there is none."""
    current = at.of(results.plan).current
    return math.nan if current is None else float(current)


def _groups(nets: Nets, name: str, connector: Connector, currents: dict[PinId, float]) -> list[list[PinId]]:
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


def _limited(nets: Nets, connector: Connector, pins: list[PinId], currents: dict[PinId, float], loaded: int
             ) -> _Contacts:
    """Contacts in parallel with what they carry; `loaded` counts them and all others of the connector that carry
    current."""
    at = next(each for each in pins if each in currents)
    areas = [_thinnest_mm2(connector.pin[each.pin], nets.ends.get(each, [])) for each in pins]
    share = None if loaded <= 1 else min(1.0, loaded / (connector.cavities or len(connector.pin)))
    factors = [None if math.isnan(area) else loading_factor(area, share) for area in areas]
    alone = float(connector.contact_current or math.nan)
    printed = [each.value for each in factors if each is not None]
    return _Contacts(at, pins, alone, share,
                     parallel_a(alone * min(printed), len(pins)) if len(printed) == len(pins) else None)


def _thinnest_mm2(pin: Pin, ends: list[CircuitEnd]) -> float:
    """Area of the thinnest wire in a contact; NaN where none is entered for the pin, nor in a circuit that ends on
    it."""
    areas = [*wire_areas_mm2(pin, wires_in(ends)), area_mm2(pin.size)]
    return min((each for each in areas if not math.isnan(each)), default=math.nan)


RULE = Rule(
    consequence="burns",
    title="Contact overloaded",
    source=f"contact current entered for the connector; {SHAPE}; contacts in parallel: 20 % less for each doubling, a "
           "trade page, and a naval standard warns that they do not share evenly",
    caution="A contact that runs hot loses its spring, runs hotter, and melts the connector.",
    fix="a contact of the next size, a thicker wire in it, or the load on a connector of its own",
    example="fails: 8 A on AWG 20 through a 10 A contact with half of the contacts loaded; passes: 3 A",
    find=find,
    limits=(through_pins,),
)
