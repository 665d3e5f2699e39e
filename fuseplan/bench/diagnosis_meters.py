"""How readings are compared: what meters may be off by, ohms by their logarithm, and what the network does not tell."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.bench.diagnosis_fault import LIVE, Fault
from fuseplan.bench.diagnosis_unknowns import UNIFORM
from fuseplan.bench.expected import expected
from fuseplan.bench.instruments import INSTRUMENTS, instrument_for
from fuseplan.bench.instruments import OHMS as OHMMETER
from fuseplan.bench.points import Point, points
from fuseplan.bench.series_lamp import BULB_W, SeriesLamp
from fuseplan.bench.solved_rows import REST_V
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.model import Circuit
from fuseplan.results.address import joined, split

OHMS = ("cold_ohm", "plus_to_earth_ohm", "wire_ohm", "return_ohm")
"""What is read with the battery disconnected."""
OUTSIDE = (*OHMS, "off_v", "bulb_v", "relay_feed_v", "ripple_mv")
"""What the network in a condition does not tell."""
OPEN_OHM = 2e7
"""What an ohmmeter shows at most; more is open."""
BARE_OHM = 0.1
"""Below this, ohms are compared as they are."""
DEAD_V, LIVE_V, SHORT_SPREAD = 0.01, 0.3, 0.7
"""One standard deviation of what a dead and a live wire show, and of the logarithm of the ohms of a short."""
SNEAK_SHARE = 0.15
"""The same for what is left on a dead wire through another load, as a share of it."""
RIPPLE_V = 0.03
"""AC volts of a battery in good order, and one standard deviation. Published limits: 0.1 V look, 0.5 V fault."""
UNKNOWN_OHM, UNKNOWN_SPREAD = 50.0, 2.5
"""What an ohmmeter shows on electronics: anything."""
WAYS: dict[str, tuple[str, ...]] = {
    "wire_ohm": ("wire", "own_wire", "contact"), "return_ohm": ("return", "own_return", "strap"),
    "cold_ohm": ("wire", "own_wire", "contact", "return", "own_return", "strap", "load"), "plus_to_earth_ohm": ()}
"""The parts an ohmmeter reads through."""
SIDE_BY_SIDE = ("own_wire", "own_return", "load")
"""Of several loads side by side, one that is cut off leaves the others."""


def is_outside(point: Point, condition: str) -> bool:
    """Whether the network does not tell what a point shows in a condition."""
    return point.what in OUTSIDE or is_rest(point, condition)


def is_rest(point: Point, condition: str) -> bool:
    """Whether it is the voltage of the rested battery."""
    return (point.kind, point.what, condition) == ("battery", "volts", "rested")


def compared(point: Point, value: float) -> float:
    """A reading as it is compared: V and A as they are, ohms by their logarithm."""
    return math.log(min(max(value, 0.0), OPEN_OHM) + BARE_OHM) if point.unit == "ohm" else value


def plain(point: Point, value: float) -> float:
    """A compared figure in V, A or ohm; infinite for an open on ohms."""
    if point.unit != "ohm":
        return float(value)
    ohm = math.exp(min(value, 50.0)) - BARE_OHM
    return math.inf if ohm >= 0.5 * OPEN_OHM else ohm


def meter_error(point: Point, value: float, instrument: str | None = None) -> float:
    """One standard deviation of a meter at a reading in V, A or ohm, as it is compared."""
    if point.unit == "ohm":
        ohm = min(max(value, 0.0), OPEN_OHM)
        return UNIFORM * OHMMETER.error(ohm) / (ohm + BARE_OHM) + 1e-3
    meter = INSTRUMENTS.get(instrument or "") or instrument_for(point.unit, value)
    return UNIFORM * meter.error(value) + 1e-9


def shown_outside(assessment: Assessment, circuit: Circuit | None, point: Point, fault: Fault, size: Floats,
                  live_v: float) -> tuple[Floats | float, float]:
    """What a point outside the network shows with a fault of some sizes (C,), as it is compared, and its variance."""
    shown = fault.shown.get(point.address)
    if (point.kind, point.what) == ("battery", "volts"):
        return live_v - (size if fault.kind == "weak_battery" else np.zeros(len(size))), (REST_V * UNIFORM)**2
    if point.what == "off_v":
        return (live_v, LIVE_V**2) if shown == LIVE else (0.0 if shown is None else shown,
                                                          DEAD_V**2 + (SNEAK_SHARE * (shown or 0.0))**2)
    if point.what == "bulb_v" and shown == LIVE:
        return _bulb_into_short(assessment, point, fault, live_v)
    if shown == LIVE or (point.what == "relay_feed_v" and shown is None):
        return live_v, LIVE_V**2
    if point.what == "bulb_v" and shown is None:
        return _bulb_in_series(assessment, point, fault, live_v)
    if point.what == "ripple_mv":
        return (RIPPLE_V if shown is None else shown), RIPPLE_V**2 + (0.4 * (shown or 0.0))**2
    if point.unit != "ohm":
        return (0.0 if shown is None else shown), DEAD_V**2
    if shown is not None:
        return compared(point, shown), SHORT_SPREAD**2
    usual, spread = _in_good_order(assessment, point)
    added = np.zeros(len(size)) if circuit is None else _ohms_added(fault, point, size, circuit)
    return np.log(np.minimum(usual + added, OPEN_OHM) + BARE_OHM), spread**2


def _bulb_into_short(assessment: Assessment, point: Point, fault: Fault, live_v: float) -> tuple[float, float]:
    """What a bulb in the fuse's place has with a short behind it, and its variance: the whole voltage but for what the
    wires lose, to earth anywhere along the supply wire, across the load all the way there and back."""
    at, across = points(assessment), fault.kind == "short_across_load"
    ohms = [expected(assessment, at[joined(("circuit", point.subject, what))], "unpowered").value or 0.0
            for what in (("wire_ohm", "return_ohm") if across else ("wire_ohm",))]
    lost = SeriesLamp(BULB_W, assessment.results.network.system_v).current_a(live_v) * sum(ohms)
    return live_v - (1.0 if across else 0.5) * lost, LIVE_V**2 + ((0.1 if across else 0.5 * UNIFORM) * lost)**2


def _bulb_in_series(assessment: Assessment, point: Point, fault: Fault, live_v: float) -> tuple[float, float]:
    """What a bulb in the fuse's place has with the loads behind it, and its variance: with less behind it than planned,
    anything less."""
    found = expected(assessment, point, "alone")
    low, high = found.low or 0.0, live_v if found.high is None else found.high
    if fault.kind != "healthy" and not fault.place.endswith(".fuse"):
        low = 0.0
    return 0.5 * (low + high), (UNIFORM * 0.5 * (high - low))**2 + DEAD_V**2


def _in_good_order(assessment: Assessment, point: Point) -> tuple[float, float]:
    """What an ohmmeter shows on a car in good order, and one standard deviation of its logarithm."""
    found = expected(assessment, point, "unpowered")
    if found.value is None:
        return (OPEN_OHM, 1.0) if found.words == "open" else (UNKNOWN_OHM, UNKNOWN_SPREAD)
    low, high = (found.value if end is None else end for end in (found.low, found.high))
    return found.value, max(UNIFORM * 0.5 * math.log((high + BARE_OHM) / (low + BARE_OHM)), 0.05)


def _ohms_added(fault: Fault, point: Point, size: Floats, circuit: Circuit) -> Floats:
    """What a fault adds to a reading in ohm (C,): switches closed, relays bridged."""
    steps = [each for each in split(fault.place) if not each.isdigit()]
    what = steps[-1] if steps else ""
    nothing = what not in WAYS[point.what] or steps[0] not in ("circuit", "earth") or \
        fault.kind not in ("resistance", "open", "load_open") or \
        (what in SIDE_BY_SIDE and len(circuit.load) > 1) or (what == "contact" and circuit.relay is not None)
    if nothing:
        return np.zeros(len(size))
    return size if fault.kind == "resistance" else np.full(len(size), OPEN_OHM)
