"""What a plan must say before the car as a whole can be judged: whether it starts, charges and stands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rules import no_engine_strap
from fuseplan.engine.alternator import machine_of
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known
from fuseplan.plan.part_names import in_words

KIND = "whole_car"
_OUTPUT = "output at 6000 and at 1500 r/min, from its label"


def whole_car_asked(results: Results) -> Iterator[NotSaid]:
    """The battery's and the alternator's figures on their labels, the most important first, and straps that are left
    out."""
    battery, alternator = results.plan.battery, results.plan.alternator
    if not battery_known(battery):
        yield _asked("battery", "cold-cranking current, from its label", "whether the engine starts, and whether a "
                     "short blows every fuse, cannot be worked out without it", "cold_crank")
    if battery is None or (battery.capacity is None and battery.reserve_capacity is None):
        yield _asked("battery", "capacity, from its label", "how long the car may stand cannot be worked out without "
                     "it", "capacity")
    if alternator is None:
        yield from _left_out(results)
    elif not machine_of(alternator).known:
        why = "whether the battery is charged, and the voltage with the engine running, cannot be worked out without it"
        safety = bool(alternator.cable or alternator.fuse) or any(
            _has_parts(results, *each) for each in results.charged_through)
        if safety:
            why += ", nor whether its cable, feeds, fuses, switches and straps carry what it gives to a flat battery"
        if alternator.machine == "dynamo":
            key = next(key for key in ("rated", "cut_in", "full_output") if getattr(alternator, key) is None)
            yield _asked("alternator", "rated output of the dynamo, and the speeds from which it charges and gives it",
                         why, key, safety)
        else:
            yield _asked("alternator", _OUTPUT, why,
                         "rated" if alternator.label is None else "label", safety)
    yield from _straps_left_out(results)


def _straps_left_out(results: Results) -> Iterator[NotSaid]:
    """What leads from an earth point to the next, where nothing is entered and something returns there."""
    plan = results.plan
    apart = {name for name, earth in plan.earth.items()
             if earth.upstream is not None and not earth.wire and earth.resistance is None}
    if not apart:
        return
    returning = {owner for number in range(len(results.network.circuits)) for owner in results.known.lacking(number)}
    told = {each.subject for each in no_engine_strap.find(no_engine_strap.RULE, results)}
    for name in plan.earth:
        if name in apart - told and ("earth", name) in returning:
            onto = in_words(plan, "earth", plan.earth[name].upstream or "")
            yield NotSaid("earth", name, f"the strap or cable from it to {onto}, or the resistance of the panels in "
                          "its place", "nothing is known of what is earthed there without it", KIND,
                          f"earth.{name}.wire", True)


def _left_out(results: Results) -> Iterator[NotSaid]:
    """The alternator of a plan without one, whose circuits say that the car has one."""
    marked, circuits = results.network.marked, results.network.circuit_ids
    for role, safety in (("alternator_exciter", True), ("starter", False)):
        for number in marked.get(f"role {role}", ())[:1]:
            yield _asked("alternator", f"{_OUTPUT}; the plan has no [alternator], only "
                         f"{in_words(results.plan, 'circuit', circuits[number])}",
                         "whether the battery is charged, what its cable and fuse carry, and whether a battery "
                         "isolator stops the engine cannot be worked out without it", "rated", safety)
            return


def _asked(subject: Literal["battery", "alternator"], what: str, why: str, key: str, safety: bool = False) -> NotSaid:
    """A question about battery or alternator; no circuit's safety rests on it alone."""
    return NotSaid(subject, subject, what, why, KIND, f"{subject}.{key}", safety)


def _has_parts(results: Results, kind: str, name: str) -> bool:
    """Whether a feed or an earth point has anything that too much current overheats; one that the program adds to a
    plan without any has none."""
    plan = results.plan
    if kind == "earth":
        earth = plan.earth.get(name)
        return earth is not None and bool(earth.wire or earth.switch)
    feed = plan.feed.get(name)
    return feed is not None and bool(feed.wire or feed.fuse or feed.switch or feed.relay or feed.ammeter)
