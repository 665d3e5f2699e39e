"""What would close a deficit, each cure computed by assessing the changed plan.

A cure is a set of changes as they would be typed into the plan; its effect is the balance of the plan so changed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from fuseplan.engine.alternator import highest_rotor_rpm
from fuseplan.engine.alternator_size import larger_sizes, low_speed_share
from fuseplan.engine.changes import Change, Path, apply
from fuseplan.engine.computing import compute
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.load_figures import nominal
from fuseplan.engine.power import still_a
from fuseplan.engine.results import Results
from fuseplan.engine.source import PULLEY_RATIO
from fuseplan.formulas.alternator import engine_speed
from fuseplan.plan.parts import Load
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import CURRENT, POWER, SPEED, amount
from fuseplan.records import dataclass

PULLEY_STEP, LARGEST_PULLEY = 0.1, 3.5
"""Ratios tried; the upper end of what belt drives have. From memory."""
ASSUMED_HIGHEST_RPM = 6500.0
"""Highest engine speed where the plan gives none, so that no pulley is proposed that bursts the rotor. Common practice,
no source."""
IDLE_STEP_RPM, HIGHEST_IDLE_RPM = 25.0, 1500.0
LED_SHARE = 0.3
"""Power of an LED lamp as a share of the filament lamp it stands for; the upper end of 0.05 to 0.3. From memory."""
LARGEST_LED_W = 25.0
"""Filament lamps up to this power are counted; headlamps are not, an LED bulb in a headlamp is unlawful in places."""
FAN_A = 4.0
"""A motor above this that runs when it is hot is taken for a fan."""


@dataclass(frozen=True)
class Cure:
    """One cure for one condition. Currents in A at the values entered."""

    id: str
    words: str
    changes: tuple[Change, ...]
    before_a: float
    after_a: float
    """Balance of the condition on average demand, before and after."""
    peak_before_a: float
    peak_after_a: float
    """All that is on together in that condition."""
    closes: bool
    """The balance is no longer negative."""
    caution: str


def cures_of(results: Results, condition: int) -> tuple[Cure, ...]:
    """Cures for one condition, those that close the gap first, the largest effect first; none whose effect is no more
    than the solver leaves open."""
    still = float(still_a(results.source.available_a[condition]))
    found = [cure for make in (_pulley, _idle, _bigger, _leds, _fans) for cure in make(results, condition)
             if cure.after_a > cure.before_a + still]
    small = [cure for cure in found if cure.id in ("pulley", "leds", "fans")]
    if len(small) > 1 and not any(cure.closes for cure in small):
        found.append(_cure(
            results, condition, "together", "together: " + "; ".join(cure.words for cure in small),
            [change for cure in small for change in cure.changes], " ".join(cure.caution for cure in small)))
    return tuple(sorted(found, key=lambda cure: (not cure.closes, -cure.after_a)))


def _cure(results: Results, condition: int, name: str, words: str, changes: Sequence[Change], caution: str,
          changed: Results | None = None) -> Cure:
    after = changed if changed is not None else _assessed(results, changes)
    before_a, after_a = (float(each.balance.balance_a[0, condition]) for each in (results, after))
    return Cure(name, words, tuple(changes), before_a, after_a, float(results.balance.peak_a[0, condition]),
                float(after.balance.peak_a[0, condition]), after_a >= 0, caution)


def _assessed(results: Results, changes: Sequence[Change]) -> Results:
    return compute(apply(results.plan, changes), results.limit_set)


def _smallest(results: Results, condition: int, values: Sequence[float],
              changes_of: Callable[[float], list[Change]]) -> tuple[float, Results] | None:
    """The smallest of ascending values that closes the gap, else the largest; None where there is none to try."""
    if not values:
        return None

    def tried(index: int) -> tuple[bool, Results]:
        changed = _assessed(results, changes_of(values[index]))
        return float(changed.balance.balance_a[0, condition]) >= 0, changed

    low, high = 0, len(values) - 1
    closes, best = tried(high)
    if not closes:
        return values[high], best
    while low < high:
        middle = (low + high) // 2
        closes, changed = tried(middle)
        if closes:
            high, best = middle, changed
        else:
            low = middle + 1
    return values[high], best


def _pulley(results: Results, condition: int) -> Iterator[Cure]:
    alternator = results.plan.alternator
    if alternator is None or not results.source.alternator_known:
        return
    ratio = alternator.pulley_ratio or PULLEY_RATIO
    top, own, words = highest_rotor_rpm(alternator)
    if math.isnan(top):
        return
    given = results.plan.vehicle.highest_engine_speed
    highest = ASSUMED_HIGHEST_RPM if not given else float(given)
    limit = min(LARGEST_PULLEY, top / highest)
    first, last = math.floor(ratio / PULLEY_STEP + 1e-9) + 1, math.floor(limit / PULLEY_STEP + 1e-9)
    values = [round(number * PULLEY_STEP, 1) for number in range(first, last + 1)]

    def changes(value: float) -> list[Change]:
        return [Change(("alternator", "pulley_ratio"), value)]

    found = _smallest(results, condition, values, changes)
    if found is not None:
        value, changed = found
        most = float(engine_speed(top, value))
        known = "as entered" if given else f"not entered, {writing.stated(highest, 'r/min')} taken"
        yield _cure(results, condition, "pulley",
                    f"a smaller alternator pulley: ratio {writing.stated(value)} instead of {writing.stated(ratio)}",
                    changes(value), f"The rotor then reaches its {writing.limit(top, 'r/min')} at "
                    f"{writing.limit(most, 'r/min')} of the engine ({'its own limit' if own else words}; highest "
                    f"engine speed {known}); never let it turn faster, it can burst.", changed)


def _idle(results: Results, condition: int) -> Iterator[Cure]:
    at = results.network.conditions[condition]
    engine = float(at.engine)
    first = math.floor(engine / IDLE_STEP_RPM + 1e-9) + 1
    values = [number * IDLE_STEP_RPM for number in range(first, int(HIGHEST_IDLE_RPM / IDLE_STEP_RPM) + 1)]

    def changes(value: float) -> list[Change]:
        """The condition written out whole, since a plan's own definition stands alone."""
        faster = at.model_copy(update={"engine": amount(f"{writing.typed(value)} r/min", SPEED)})
        return [Change(("condition", results.network.condition_ids[condition]), faster)]

    if not results.source.alternator_known:
        return
    found = _smallest(results, condition, values, changes)
    if found is not None:
        value, changed = found
        yield _cure(results, condition, "idle", f"a higher engine speed there: {writing.stated(value)} instead of "
                    f"{writing.stated(engine, 'r/min')}", changes(value),
                    "A high idle makes an automatic creep and a cold engine race.", changed)


def _bigger(results: Results, condition: int) -> Iterator[Cure]:
    """The one size recommended for the plan; the largest sold where none is enough."""
    alternator = results.plan.alternator
    if alternator is None or not results.source.alternator_known:
        return
    size = results.power.alternator_size or next(iter(larger_sizes(alternator)[-1:]), None)
    if size is not None:
        rated, low = results.source.rated_a, low_speed_share(alternator) * results.source.rated_a
        yield _cure(results, condition, "bigger", f"a bigger alternator: {writing.stated(size.low_a)}/"
                    f"{writing.rating(size.rated_a)} instead of {writing.bare(low, 'A', 'limit')}/"
                    f"{writing.rating(rated)}", size.changes(alternator),
                    "Its cable and the fuse in it must suit the new rating: check the plan again with it.")


def _loads(results: Results, condition: int) -> Iterator[tuple[str, int, Load]]:
    """Loads that are on in a condition, with their circuit and their place in it."""
    consumers, network = results.network.consumers, results.network
    for number in np.flatnonzero(consumers.possible[condition] & (consumers.kind == LOAD)).tolist():
        name, place = network.circuit_ids[int(consumers.circuit[number])], int(consumers.number[number])
        yield name, place, network.plan.circuit[name].load[place]


def _less(load: Load, path: Path, share: float, system_v: float) -> Change:
    """A load's current or power cut to a share of it."""
    if load.power is not None:
        return Change((*path, "power"), amount(writing.entry(load.power * share, "W"), POWER))
    return Change((*path, "current"), amount(writing.entry(nominal(load, system_v)[0] * share, "A"), CURRENT))


def _leds(results: Results, condition: int) -> Iterator[Cure]:
    changes: list[Change] = []
    lamps = 0
    for name, place, load in _loads(results, condition):
        current, volts = nominal(load, results.network.system_v)
        if load.kind == "lamp" and current * volts <= LARGEST_LED_W \
                and results.plan.circuit[name].drop_class != "headlamp":
            path = ("circuit", name, "load", place)
            lamps += 1
            changes += [Change((*path, "kind"), "electronic"),
                        _less(load, path, LED_SHARE, results.network.system_v)]
    if changes:
        yield _cure(results, condition, "leds", f"LED lamps in place of {lamps} small filament lamps, headlamps left "
                    f"as they are, at {writing.stated(LED_SHARE, 'share')} of the power (from memory: take the lamp's "
                    "own plate)", changes,
                    "Only lamps approved for that lamp unit are lawful on the road; flashers and lamp monitors that "
                    "count current may take an LED for a failed bulb.")


def _fans(results: Results, condition: int) -> Iterator[Cure]:
    """Two fans one at a time, or one large fan at half its current first; longer on for the same cooling."""
    system_v = results.network.system_v
    fans = [(name, place, load) for name, place, load in _loads(results, condition)
            if load.kind == "motor" and "hot" in load.when and load.either is None
            and nominal(load, system_v)[0] > FAN_A]
    changes: list[Change] = []
    if len(fans) >= 2:
        duty = min(1.0, sum(load.duty for _, _, load in fans))
        for name, place, _ in fans:
            path = ("circuit", name, "load", place)
            changes += [Change((*path, "either"), "fan_stage"), Change((*path, "duty"), duty)]
        words = f"{len(fans)} fans one at a time"
    elif fans and nominal(fans[0][2], system_v)[0] > 2 * FAN_A:
        name, place, load = fans[0]
        path, duty = ("circuit", name, "load", place), min(1.0, 2 * load.duty)
        changes += [_less(load, path, 0.5, system_v), Change((*path, "duty"), duty)]
        words = "half the fan current in the first stage"
    else:
        return
    yield _cure(results, condition, "fans",
                f"fans in stages: {words}, then on {writing.burden(duty, 'share')} of the time", changes,
                "Only where the first stage alone keeps the engine cool: watch the temperature on a hot day, and let "
                "the second stage cut in above it.")
