"""At its limit a verdict turns exactly once: whatever drives a check is raised in small steps from a plan that
passes it to one that fails it, and just below and just above the place where it turns it is looked at again."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import pytest

from fuseplan.checks import assess
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.engine.clearing import greatest_time_s, least_time_s
from fuseplan.engine.conductor_rating import allowance_of
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set, names
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from fuseplan.quantities.amounts import Amount
from fuseplan.tables.fuses import KINDS
from fuseplan.tables.insulations import INSULATIONS
from tests.checks.check_plans import BASE, failing

STEPS = 24
FEWER_STEPS = 7
JUST = 1e-3


class Sweep(NamedTuple):
    """What is raised, from a value that passes the check to one that fails it."""

    path: str
    """In the plan that fails it; ``*`` is the circuit, feed … that the finding is about."""
    passes: float
    fails: float
    unit: str = ""
    contact: str | None = None
    """Relay contact fitted instead of the plan's, where nothing is on file for that one."""


LOAD, LENGTH = "circuit.*.load.0.current", "circuit.*.wire.0.length"
SWEEPS = {
    "alternator-overspeed": Sweep("condition.{0}.engine", 3000, 8000, "r/min"),
    "wrong-fuse-position": Sweep("circuit.*.fuse.rating", 5, 40, "A"),
    "low-cranking-voltage": Sweep("circuit.*.load.0.current", 100, 900, "A"),
    "earth-strap-overloaded": Sweep(LOAD, 1, 60, "A"),
    "feed-overloaded": Sweep("feed.*.limit", 60, 5, "A"),
    "fuse-too-small": Sweep(LOAD, 1, 20, "A"),
    "no-trip-far-end": Sweep(LENGTH, 1, 60, "m"),
    "fuse-exceeds-equipment": Sweep("circuit.*.fuse.rating", 5, 40, "A"),
    "fuse-exceeds-strap": Sweep("circuit.*.fuse.rating", 5, 40, "A"),
    "fuse-exceeds-wire": Sweep(LENGTH.replace("wire.0.length", "fuse.rating"), 5, 60, "A"),
    "fuse-far-from-battery": Sweep("circuit.*.fuse.distance", 0.05, 2, "m"),
    "blows-at-switch-on": Sweep("circuit.*.load.0.inrush_time", 0.02, 2, "s"),
    "connection-overloaded": Sweep(LOAD, 20, 60, "A"),
    "relay-inrush-too-high": Sweep("circuit.*.load.0.inrush", 1, 20),
    "relay-overloaded": Sweep(LOAD, 2, 80, "A", "mini_40"),
    "standing-drain": Sweep("circuit.*.load.0.standby", 0.001, 2, "A"),
    "switch-overloaded": Sweep(LOAD, 0.5, 60, "A"),
    "no-fuse-fits": Sweep(LOAD, 1, 40, "A"),
    "wire-overloaded": Sweep(LOAD, 1, 60, "A"),
    "voltage-drop": Sweep(LENGTH, 0.2, 40, "m"),
    "low-lamp-voltage": Sweep(LENGTH, 0.2, 40, "m"),
    "wire-damaged-by-short": Sweep("circuit.*.fuse.rating", 3, 30, "A"),
    "output-overloaded": Sweep("circuit.*.relay.driver_limit", 2, 0.05, "A"),
    "insulation-too-weak": Sweep("zone.engine_bay.ambient", 20, 140, "degC"),
    "alternator-too-small": Sweep(LOAD, 5, 120, "A"),
    "alternator-peak-overload": Sweep(LOAD, 5, 160, "A"),
    "discharge-while-running": Sweep(LOAD, 5, 160, "A"),
    "battery-reserve-too-short": Sweep(LOAD, 5, 200, "A"),
    "contact-overloaded": Sweep("connector.*.pin.1.current", 0.5, 40, "A"),
    "bus-stub-too-long": Sweep("connector.*.pin.1.stub", 0.05, 3, "m"),
    "flasher-load-too-low": Sweep("circuit.*.flasher_load", 2, 60, "W"),
    "pair-untwisted": Sweep("connector.*.pin.1.twists", 60, 5),
}


@lru_cache(maxsize=64)
def breaking(name: str) -> tuple[Plan, str, str]:
    """The plan that fails a check, and kind and id of what its finding is about."""
    plan = parse_plan(failing(name))
    found = next(each for each in assess(plan).findings if each.check == name and not each.measure)
    return plan, found.subject_kind, found.subject


def put(part: Any, path: list[str], value: object) -> Any:
    if not path:
        return value
    step = path[0]
    if isinstance(part, tuple):
        place = int(step)
        return (*part[:place], put(part[place], path[1:], value), *part[place + 1:])
    if isinstance(part, dict):
        return {**part, step: put(part[step], path[1:], value)}
    return part.model_copy(update={step: put(getattr(part, step), path[1:], value)})


class Said(NamedTuple):
    """What a check says of a plan."""

    fails: bool
    excess: float | None
    """Logarithm of the figure over its limit, where the finding has both."""


def said_of(found: list[Finding]) -> Said:
    first = found[0] if found else None
    known = first is not None and first.figure and first.limit
    return Said(bool(found), math.log(abs(first.figure / first.limit)) if known else None)  # type: ignore[operator,union-attr]


@lru_cache(maxsize=512)
def at(name: str, sweep: Sweep, value: float) -> tuple[Said, Said]:
    """What the check says as entered, and what it says at all, with a value in the sweep's place."""
    plan, kind, subject = breaking(name)
    if sweep.path.startswith("circuit.*") and kind != "circuit":
        base = parse_plan(BASE)
        subject = next(each for each in reversed(plan.circuit) if each not in base.circuit)
    path = sweep.path.replace("*", subject).replace("{0}", next(iter(plan.condition), "")).split(".")
    if path[-1] == "current" and path[0] == "circuit":
        plan = put(plan, [*path[:-1], "power"], None)
    if sweep.contact is not None:
        plan = put(plan, ["circuit", subject, "relay", "contact"], sweep.contact)
    amount = Amount(value, f"{value:.9g} {sweep.unit}") if sweep.unit else value
    found = [each for each in assess(put(plan, path, amount)).findings
             if each.check == name and (each.subject_kind, each.subject) == breaking(name)[1:]]
    return said_of([each for each in found if not each.measure]), said_of(found)


def guessed_turn(failing: dict[float, float]) -> float | None:
    """Where the figure meets its limit on the straight line, of logarithms, through the two failing values nearest."""
    (near, excess), (far, more) = sorted(failing.items(), key=lambda each: abs(each[1]))[:2] \
        if len(failing) > 1 else ((0.0, 0.0), (0.0, 0.0))
    if excess == more:
        return None
    turn = math.log(near) - excess * math.log(far / near) / (more - excess)
    return math.exp(turn) if abs(turn) < 50 else None


GUESSES = 4
"""So often the place of the turn is guessed from the figures; where that does not find it, it is halved in."""


def closed_in(name: str, sweep: Sweep, bound: int, values: list[float], narrow: float) -> tuple[float, float]:
    """The last value that passes and the first that fails, less than a narrow share apart.

    `values` are one that passes and those that fail after it.
    """
    low, high = values[:2]
    excesses = {value: at(name, sweep, value)[bound].excess for value in values[1:]}
    failing = {value: excess for value, excess in excesses.items() if excess is not None}
    towards = narrow * 0.4 * (1.0 if sweep.fails > sweep.passes else -1.0)
    tries = 0
    while abs(high / low - 1.0) > narrow:
        guess = guessed_turn(failing) if tries < GUESSES else None
        tries += 1
        ahead = [] if guess is None else [guess * (1.0 - towards), guess * (1.0 + towards)]
        ahead = [each for each in ahead if min(low, high) < each < max(low, high)] or [math.sqrt(low * high)]
        for value in ahead:
            said = at(name, sweep, value)[bound]
            if not said.fails:
                low = value
                continue
            high = value
            if said.excess is not None:
                failing[value] = said.excess
            break
    return low, high


@pytest.mark.one_in(2)
@pytest.mark.share
@pytest.mark.parametrize("name", sorted(SWEEPS))
def test_a_verdict_turns_exactly_once(name: str, in_full: bool) -> None:
    sweep = SWEEPS[name]
    steps, shares = (STEPS, (0.1, 0.3, 1.0, 3.0)) if in_full else (FEWER_STEPS, (1.0,))
    values = np.geomspace(sweep.passes, sweep.fails, steps).tolist()
    for bound in (0, 1):
        said = [at(name, sweep, value)[bound].fails for value in values]
        turns = [number for number in range(1, steps) if said[number] != said[number - 1]]
        assert not said[0] or bound, f"{name} fails at {values[0]:g} already"
        assert said[-1], f"{name} passes at {values[-1]:g} still"
        if said[0]:
            continue
        assert len(turns) == 1, (name, [(f"{value:.4g}", each) for value, each in zip(values, said, strict=True)])
        low, high = closed_in(name, sweep, bound, values[turns[0] - 1:], JUST * shares[0] / 5)
        towards = 1.0 if sweep.fails > sweep.passes else -1.0
        for share in shares:
            assert not at(name, sweep, low * (1.0 - towards * JUST * share))[bound].fails, (name, low)
            assert at(name, sweep, high * (1.0 + towards * JUST * share))[bound].fails, (name, high)


WITHOUT_A_LIMIT = {
    "wrong-system-voltage", "wrong-earth-polarity",
    "automatic-reset-breaker", "alternator-cable-unfused", "no-suppression", "relay-cannot-pull-in",
    "wire-colour-conflict", "normally-closed-contact", "dead-when-needed", "no-earth", "no-engine-strap",
    "guessed-current", "back-feed", "figures-missing", "no-fuse", "no-such-fuse-rating", "not-selective",
    "duplicate-label", "headlamps-share-fuse", "live-when-off", "no-fuel-cut-off", "alternator-not-isolated",
    "isolator-bypassed", "no-start-interlock", "sense-lead-dead",
    "second-battery-cranks", "second-battery-unprotected",
    "fan-feeds-back", "sensor-earth-shared", "insufficient-supply",
    "no-published-limit", "out-of-scope", "zone-not-stated", "load-without-supply", "condition-word-unused",
    "improbable-figure", "mating-pins-differ", "pair-parted", "sensor-return-to-earth", "shield-earthed-twice",
    "unknown-pin-on-live-plug",
    "unlike-contact-platings", "wire-ends-disagree",
}
"""Checks on whether something is there, named or joined: nothing can be raised through a limit."""
BY_STEPS = {"charging-voltage-drop", "exciter-current-too-low", "breaking-capacity", "fuse-voltage-too-low",
            "joints-side-by-side", "unsuitable-fusible-link", "too-many-wires-on-stud", "wire-below-minimum-size",
            "thinner-wire-unprotected", "crowded-splice", "extension-thinner", "two-wires-in-pin",
            "wire-unfit-for-contact"}
"""Checks on figures that come in printed steps or counts, or that a published row alone decides: the laws on printed
rows below, and each check's own two plans."""


def test_every_check_is_swept_or_has_a_reason_not_to_be() -> None:
    assert SWEEPS.keys() | WITHOUT_A_LIMIT | BY_STEPS == all_rules().keys()
    assert not SWEEPS.keys() & (WITHOUT_A_LIMIT | BY_STEPS)


AMBIENTS = np.unique(np.concatenate([np.arange(-40.0, 260.0, 1.0) + shift for shift in (-0.05, 0.0, 0.05)]))


@pytest.mark.one_in(2, first=1)
@pytest.mark.parametrize("name", names())
def test_a_hotter_place_never_allows_more(name: str) -> None:
    limits = limit_set(name)
    factor = np.asarray(limits.fuse_k(AMBIENTS))
    known = ~np.isnan(factor)
    assert (np.diff(factor[known]) <= 1e-12).all()
    assert not known[np.flatnonzero(~known).min(initial=len(known)):].any(), "past the curve's end nothing is known"
    looked_at = 0
    for insulation in INSULATIONS:
        for size in ("0.5 mm2", "1.5 mm2", "6 mm2", "25 mm2", "AWG 14"):
            allowed = np.array([allowance_of(limits, size, insulation, float(each)).single_a for each in AMBIENTS[::7]])
            known = ~np.isnan(allowed)
            looked_at += int(known.any())
            assert (np.diff(allowed[known]) <= 1e-9).all(), (insulation, size)
    assert looked_at > 5


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_more_current_never_takes_longer_to_open(kind: str) -> None:
    """Across every printed multiple, just below, on and just above it."""
    for rating in ladder(kind)[::3]:
        printed = np.array([1.0, 1.1, 1.35, 1.5, 1.6, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 10.0, 20.0])
        multiples = np.sort(np.concatenate([printed * (1.0 + share) for share in (-JUST, 0.0, JUST)]))
        for times in (of(kind, rating, multiples * rating) for of in (greatest_time_s, least_time_s)):
            known = ~np.isnan(times)
            with np.errstate(invalid="ignore"):
                steps = np.diff(times[known])
            assert not (steps > 1e-6 * times[known][:-1]).any(), (kind, rating)
