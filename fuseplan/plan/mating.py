"""Two halves of a connector held against each other, cavity by cavity."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, PinId, mates_of, pin_at, pins_of
from fuseplan.plan.part_names import pin_words
from fuseplan.plan.words import LIVE_SIGNALS
from fuseplan.records import dataclass

Verdict = Literal["agrees", "differs", "danger", "one side only", "unknown"]

_EARTHS = ("earth_31", "sensor_return", "shield")
_SENSITIVE = ("signal", "pulse", "sensor_supply", "bus_high", "bus_low", "coil_driver")
"""Kinds that battery voltage destroys, or that switch on what they should not."""


@dataclass(frozen=True)
class Cavity:
    """One cavity of two halves.

    Attributes:
        left, right: pins of the two halves; None where one is not entered
        words: what differs, in the middle of a sentence; empty where they agree
    """

    number: str
    left: Pin | None
    right: Pin | None
    verdict: Verdict
    words: str


@dataclass(frozen=True)
class Mating:
    """Two halves plugged together: what differs of the halves themselves, and their cavities."""

    left: str
    right: str
    differences: tuple[str, ...]
    cavities: tuple[Cavity, ...]


def normal(text: str | None) -> str:
    """Words of a function as they are compared: small letters, one space, no joining lines."""
    return " ".join((text or "").replace("_", " ").replace("-", " ").casefold().split())


def matings(plan: Plan) -> Iterator[Mating]:
    """Every pair of mating connectors once, but for those with a half that is out of scope: it is not to be probed."""
    done: set[frozenset[str]] = set()
    for name, mate in mates_of(plan).items():
        pair = frozenset((name, mate))
        if pair not in done and not any(plan.connector[half].out_of_scope for half in pair):
            done.add(pair)
            yield mating(plan, name, mate)


def mating(plan: Plan, left: str, right: str) -> Mating:
    """Two halves, whether the plan says that they mate or not."""
    one, other = plan.connector[left], plan.connector[right]
    numbers = list(dict.fromkeys([*one.pin, *other.pin]))
    return Mating(left, right, tuple(_halves(plan, left, right)),
                  tuple(_cavity(number, one.pin.get(number), other.pin.get(number)) for number in numbers))


def _halves(plan: Plan, left: str, right: str) -> Iterator[str]:
    one, other = plan.connector[left], plan.connector[right]
    for name, half, wanted in ((left, one, right), (right, other, left)):
        if half.mates is not None and half.mates != wanted:
            yield f"{name} is entered as plugged into {half.mates}"
    for key, words in _HALF_KEYS:
        first, second = getattr(one, key), getattr(other, key)
        if first is not None and second is not None and _plain(first) != _plain(second):
            yield f"{words} {first} on {left}, {second} on {right}"


def _plain(value: object) -> object:
    return normal(value) if type(value) is str else value


_HALF_KEYS = (("cavities", "cavities:"), ("family", "family:"), ("tab_size", "tab size:"))


def _gone(pin: Pin | None) -> bool:
    return pin is not None and pin.fate in GONE


def _cavity(number: str, left: Pin | None, right: Pin | None) -> Cavity:
    if left is None or right is None:
        there = left or right
        if there is None or _gone(there):
            return Cavity(number, left, right, "agrees", "")
        return Cavity(number, left, right, "one side only", "a wire on one side only, or the other half's pin is not "
                                                            "entered")
    if _gone(left) and _gone(right):
        return Cavity(number, left, right, "agrees", "")
    if _gone(left) or _gone(right):
        return Cavity(number, left, right, "one side only", "cut off or spare on one side, in use on the other")
    danger = _danger(left, right)
    if danger:
        return Cavity(number, left, right, "danger", danger)
    differences = []
    if left.signal and right.signal and left.signal != right.signal:
        differences.append(f"{signal_words(left.signal)} meets {signal_words(right.signal)}")
    if left.function and right.function and normal(left.function) != normal(right.function):
        differences.append(f"{left.function} meets {right.function}")
    if differences:
        return Cavity(number, left, right, "differs", "; ".join(differences))
    if not (left.signal and right.signal) and not (left.function and right.function):
        return Cavity(number, left, right, "unknown", "not known what it does on both sides")
    return Cavity(number, left, right, "agrees", "")


def _danger(left: Pin, right: Pin) -> str:
    """Battery voltage against earth, against what it destroys, or against a load that must stop, as what is always live
    against what a key or a relay switches, or the start signal against anything else that is live; empty where that
    cannot be."""
    for one, other in ((left, right), (right, left)):
        live = one.signal in LIVE_SIGNALS and other.signal in LIVE_SIGNALS and one.signal != other.signal
        if (one.signal in LIVE_SIGNALS and other.signal in (*_EARTHS, *_SENSITIVE)) \
                or (live and one.signal in ("supply_30", "supply_50")):
            return f"{signal_words(one.signal)} meets {signal_words(other.signal)}"
    return ""


_SIGNAL_WORDS = {
    "supply_30": "permanent supply (30)", "supply_15": "ignition supply (15)", "supply_87": "relay output (87)",
    "supply_75": "accessory supply (75)", "supply_50": "start signal (50)", "supply_58": "side light supply (58)",
    "switched_supply": "switched supply", "earth_31": "earth (31)", "sensor_supply": "sensor supply",
    "sensor_return": "sensor return", "signal": "signal", "pulse": "pulse signal", "bus_high": "data bus high",
    "bus_low": "data bus low", "shield": "shield", "coil_driver": "coil driver",
}


def signal_words(signal: str | None) -> str:
    """A kind of signal as it is shown."""
    return _SIGNAL_WORDS[signal] if signal is not None else "kind not known"


@dataclass(frozen=True)
class Disagreement:
    """Two ends of a wire that are not entered alike: which pins, and what differs."""

    one: PinId
    other: PinId
    words: str


def disagreements(plan: Plan) -> Iterator[Disagreement]:
    """Wires whose two ends say different things: another end, or another kind of signal; none that ends in a plug out
    of scope, as it is not to be probed."""
    for at, connector, pin in pins_of(plan):
        other = pin_at(plan, pin.other_end)
        if other is None or other == at:
            continue
        there = plan.connector[other.connector]
        if connector.out_of_scope or there.out_of_scope:
            continue
        far = there.pin[other.pin]
        back = pin_at(plan, far.other_end)
        if back is not None and back != at and pin.splice is None and far.splice is None:
            yield Disagreement(at, other, f"{pin_words(plan, other)} is entered as the other end of "
                                          f"{pin_words(plan, at)}, but as going to {pin_words(plan, back)}")
        if back == at and (other, at) < (at, other):
            continue
        if pin.signal and far.signal and pin.signal != far.signal:
            yield Disagreement(at, other, f"{signal_words(pin.signal)} at {pin_words(plan, at)} is "
                                          f"{signal_words(far.signal)} at {pin_words(plan, other)}")
