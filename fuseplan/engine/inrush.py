"""Whether each device withstands its loads' inrush current."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.clearing import least_heat_a2s, least_time_s, smallest_heat_a2s
from fuseplan.engine.devices import Devices
from fuseplan.engine.network import Network
from fuseplan.engine.starting_together import start_with
from fuseplan.engine.surges import Starts, Surges
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.distinct import distinct

SHORT_PULSE_S = 0.1
"""Up to this length a surge may be judged by its heat against the melting I²t, above by its time alone."""
PULSES = 100_000
"""Surges in a life: the published pulse table's longest row."""
WITHSTOOD, MAY_BLOW, UNKNOWN = 1, 0, -1


class StartSurge(NamedTuple):
    """What a fuse of a feed sees when loads of one circuit, or of several that come on together, are switched on."""

    device: int
    loads: Ints
    """Those whose surge lasts as long as the one looked at."""
    through_a: tuple[float, float]
    """As entered, and at the worst-case currents."""
    length_s: float
    assumed: bool
    withstood: tuple[int, int]


@dataclass(frozen=True)
class Inrush:
    """Per consumer (L,): the surge through the device that guards its circuit when it is switched on last."""

    peak_a: Floats
    """Own surge alone."""
    through_a: Floats
    """Surge, those of the loads that start together with it and last as long, and everything else on together behind
    the device."""
    length_s: Floats
    """Of a lamp or motor the length of a pulse of the peak current with the surge's heat."""
    assumed: Flags
    """Multiple or length is the usual one of its kind, not the plan's."""
    withstood: Ints
    """`WITHSTOOD`, `MAY_BLOW`, or `UNKNOWN` where nothing on file answers."""
    worst_through_a: Floats
    """The surge through the device at the worst-case currents."""
    worst_withstood: Ints
    """The same of that one."""
    device: Ints
    heat_a2s: Floats
    starts: tuple[StartSurge, ...] = ()
    """The worst start behind each fuse of a feed, where that may not withstand it."""
    silent: Flags = field(default_factory=lambda: np.zeros(0, dtype=bool))
    """Loads with a surge that is judged by nothing on file, while none of its bounds fails (L,)."""
    silent_starts: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """Fuses of feeds of which that holds for a start behind them."""


def inrush_of(network: Network, surges: Surges, devices: Devices) -> Inrush:
    """Whether the devices, at their ratings, withstand the surges of all loads."""
    through, length, asked, starts = surges.through_a, surges.length_s, surges.asked, surges.starts
    # All at once: the loads in both cases, then the starts in both.
    cases = len(through)
    withstood = _withstood(devices, np.concatenate([asked.ravel(), np.tile(starts.device, cases)]),
                           np.concatenate([through.ravel(), starts.through_a.ravel()]),
                           np.concatenate([np.tile(length, cases), np.tile(starts.length_s, cases)]))
    of_loads, of_starts = withstood[:asked.size].reshape(asked.shape), withstood[asked.size:].reshape(cases, -1)
    fails = (of_starts == MAY_BLOW).any(axis=0)
    failing = np.zeros(len(network.fuses), dtype=bool)
    failing[starts.device[fails]] = True
    silent_starts = distinct(starts.device[(of_starts == UNKNOWN).any(axis=0) & ~failing[starts.device]])
    return Inrush(peak_a=surges.peak_a[0], through_a=through[0], length_s=length,
                  assumed=network.consumers.inrush_assumed, withstood=of_loads[0], worst_through_a=through[1],
                  worst_withstood=of_loads[1], device=surges.device, heat_a2s=through[0]**2 * length,
                  starts=_worst_starts(network, surges, of_starts), silent_starts=silent_starts,
                  silent=((of_loads == UNKNOWN) & (asked >= 0)).any(axis=0) & ~(of_loads == MAY_BLOW).any(axis=0))


def _worst_starts(network: Network, surges: Surges, withstood: Ints) -> tuple[StartSurge, ...]:
    """Of the starts behind each fuse of a feed the worst that its fuse may not withstand, else none."""
    starts, found = surges.starts, dict[int, StartSurge]()
    for place in np.flatnonzero((withstood == MAY_BLOW).any(axis=0)).tolist():
        members = _members(network, surges, place)
        through = starts.through_a[:, place]
        surge = StartSurge(int(starts.device[place]), members, (float(through[0]), float(through[1])),
                           float(starts.length_s[place]), bool(network.consumers.inrush_assumed[members].any()),
                           (int(withstood[0, place]), int(withstood[1, place])))
        held = found.get(surge.device)
        if held is None or _gravity(surge) > _gravity(held):
            found[surge.device] = surge
    return tuple(found.values())


def _members(network: Network, surges: Surges, place: int) -> Ints:
    """The loads that start, of each `either` group the one with the largest surge."""
    starts = surges.starts
    if place >= starts.shared:
        load = int(starts.load[place])
        return np.array([load, *start_with(network, surges.peak_a[0], load)], dtype=np.int64)
    rows = np.arange(starts.first[place], place + 1)
    rows = rows[starts.adds[rows]]
    groups = network.consumers.group[starts.load[rows]].tolist()
    last = {group: number for number, group in enumerate(groups)}
    kept = [number for number, group in enumerate(groups) if group < 0 or last[group] == number]
    return np.asarray(starts.load[rows[kept]], dtype=np.int64)


def _gravity(surge: StartSurge) -> tuple[bool, bool, float]:
    return not surge.assumed, surge.withstood[0] == MAY_BLOW, surge.through_a[0] ** 2 * surge.length_s


@lru_cache(maxsize=1024)
def allowed_heat_a2s(kind: str, rating_a: float) -> float:
    """Heat of a surge a device withstands `PULSES` times; NaN where no melting I²t is on file."""
    melting = fuse_tables.melting_i2t_a2s(kind, rating_a)
    return np.nan if melting is None else _share() * melting.value


@lru_cache(maxsize=1024)
def assumed_heat_a2s(kind: str, rating_a: float) -> float:
    """The same by the smallest heat of its printed least times, where no melting I²t is on file; NaN elsewhere. It
    clears a device and never condemns one."""
    is_known = fuse_tables.melting_i2t_a2s(kind, rating_a) is not None
    return np.nan if is_known else _share() * smallest_heat_a2s(kind, rating_a)


def judged(kind: str, rating_a: float, through_a: Floats, length_s: Floats) -> Ints:
    """Whether one device withstands surges of given current and length: `WITHSTOOD`, `MAY_BLOW`, `UNKNOWN` each."""
    return _judged(lambda: least_time_s(kind, rating_a, through_a), through_a, length_s, rating_a=rating_a,
                   allowed_a2s=allowed_heat_a2s(kind, rating_a), assumed_a2s=assumed_heat_a2s(kind, rating_a),
                   opens_a2s=least_heat_a2s(kind, rating_a))


def withstands(inrush: Inrush, starts: Starts, device: int, kind: str, rating_a: float, *, usual: bool = True,
               worst: bool = True, known: bool = False, more_a: Floats | float = 0.0) -> bool:
    """Whether another device in the place of one is not known to blow on what is switched on behind it, or with `known`
    is known not to, at the currents entered and, with `worst`, at the worst-case ones; without `usual`, on surges that
    the plan gives; each with `more_a` on top (cases, 1)."""
    (own,), (shared,) = (inrush.device == device).nonzero(), (starts.device == device).nonzero()
    if not usual:
        own, shared = own[~inrush.assumed[own]], shared[~inrush.assumed[starts.load[shared]]]
    if not own.size and not shared.size:
        return True
    lengths = np.concatenate([inrush.length_s[own], starts.length_s[shared]])
    through = np.concatenate([np.stack([inrush.through_a[own], inrush.worst_through_a[own]]),
                              starts.through_a[:, shared]], axis=1) + more_a
    found = judged(kind, rating_a, through[:2 if worst else 1], lengths)
    return bool((found == WITHSTOOD).all() if known else not (found == MAY_BLOW).any())


def _withstood(devices: Devices, device: Ints, through_a: Floats, length_s: Floats) -> Ints:
    """`judged` for many devices at once."""
    of_type = devices.type_of(device)
    limits = devices.limits
    return _judged(lambda: devices.least_s(of_type, through_a), through_a, length_s, rating_a=limits.rating_a[of_type],
                   allowed_a2s=_share() * limits.melting_a2s[of_type],
                   assumed_a2s=_share() * limits.smallest_heat_a2s[of_type], opens_a2s=limits.least_heat_a2s[of_type])


def _judged(least_time: Callable[[], Floats], through_a: Floats, length_s: Floats, *, rating_a: Floats | float,
            allowed_a2s: Floats | float, assumed_a2s: Floats | float, opens_a2s: Floats | float) -> Ints:
    """A surge that is longer than the chart for short pulses covers fails by it where its first part does.

    `allowed_a2s` and, where that is NaN, `assumed_a2s` bound the heat of a short surge; on `opens_a2s` a device may
    open at any current past its last least time.
    """
    heat, first = through_a**2 * length_s, through_a**2 * np.minimum(length_s, SHORT_PULSE_S)
    by_heat = (length_s <= SHORT_PULSE_S) & (heat <= np.where(np.isnan(allowed_a2s), assumed_a2s, allowed_a2s))
    withstood = np.asarray((through_a <= rating_a) | by_heat)
    if withstood.all():
        return np.full(withstood.shape, WITHSTOOD)
    least_s = least_time()
    past = np.where((heat > opens_a2s) | (first > allowed_a2s), MAY_BLOW, UNKNOWN)
    by_curve = np.where(np.isnan(least_s), past, np.where(least_s >= length_s, WITHSTOOD, MAY_BLOW))
    return np.where(withstood, WITHSTOOD, by_curve)


def _share() -> float:
    """Share of its melting I²t a device withstands `PULSES` times."""
    return fuse_tables.pulse_fraction(PULSES).value
