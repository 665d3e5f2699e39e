"""What is left to do on the looms before they get power, counted down to nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from fuseplan.looms.change_log import unlogged, what_is_done
from fuseplan.looms.probing import Probe, probes
from fuseplan.plan.coils import WIRE_85, lands_on_earth, relay_of
from fuseplan.plan.mating import matings, signal_words
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, CircuitEnd, Net, Nets, PinId, pins_of
from fuseplan.plan.part_names import in_words, pin_words
from fuseplan.plan.words import LIVE_SIGNALS
from fuseplan.records import dataclass

Kind = Literal["unknown", "mating", "feed", "earth", "sensor return", "mark", "log"]
BLOCKING: tuple[Kind, ...] = ("unknown", "mating", "feed", "earth", "sensor return")
"""Kinds that block power; a mark, or a line missing in the log, does not."""


@dataclass(frozen=True)
class Task:
    """One thing to do.

    Attributes:
        subject: pin, or connector with an empty pin
        words: what is to be done
        how: how it is done or found out; empty where the words say it
    """

    kind: Kind
    subject: PinId
    words: str
    how: str = ""


@dataclass(frozen=True)
class Countdown:
    """How far the looms are: every cavity, those that are settled, and what is left to do."""

    cavities: int
    settled: int
    tasks: tuple[Task, ...]
    probes: tuple[Probe, ...]

    @property
    def unknown(self) -> int:
        """Cavities of which something is not known."""
        return self.cavities - self.settled

    @property
    def blocking(self) -> tuple[Task, ...]:
        """The tasks that block power."""
        return tuple(task for task in self.tasks if task.kind in BLOCKING)

    @property
    def is_ready(self) -> bool:
        """Whether nothing about the looms blocks power any more."""
        return not self.blocking


def countdown(plan: Plan) -> Countdown:
    """What is settled of a plan's looms and what is left to do, the unknown first."""
    found = probes(plan)
    cavities = sum(max(len(each.pin), each.cavities or 0) or 1 for each in plan.connector.values()
                   if each.out_of_scope is None)
    unknown = sum(each.unknown.cavities for each in found)
    tasks = [Task("unknown", each.unknown.at, each.unknown.words(plan), each.how) for each in found]
    tasks += [*_mating(plan), *_ends(plan), *_marks(plan), *_log(plan)]
    return Countdown(cavities, cavities - unknown, tuple(tasks), tuple(found))


def _mating(plan: Plan) -> Iterator[Task]:
    for pair in matings(plan):
        for cavity in pair.cavities:
            if cavity.verdict in ("danger", "differs", "one side only"):
                there = pair.left if cavity.left is not None else pair.right
                yield Task("mating", PinId(there, cavity.number),
                           f"cavity {cavity.number} of {in_words(plan, 'connector', pair.left)} and "
                           f"{in_words(plan, 'connector', pair.right)}: {cavity.words}",
                           "probe both halves; move the contact, or correct the entry that is wrong")


def _ends(plan: Plan) -> Iterator[Task]:
    """Supplies without a feed, earths without a point, sensor returns that do not reach a control unit."""
    nets, seen = Nets(plan), set()
    for at, connector, pin in pins_of(plan):
        if pin.fate in GONE or pin.fate == "unknown" or connector.out_of_scope is not None or pin.signal is None:
            continue
        net, signal = nets.of(at), pin.signal
        if (id(net), signal) in seen:
            continue
        seen.add((id(net), signal))
        if signal in LIVE_SIGNALS and signal != "switched_supply" and not _has_feed(plan, net):
            yield Task("feed", at, f"{pin_words(plan, at)}, {signal_words(signal)}: its feed is not entered",
                       "enter the feed of this plan it is live from, or end the wire of a circuit on it: then its fuse "
                       "is known")
        elif signal == "earth_31" and not _has_earth(plan, net):
            yield Task("earth", at, f"{pin_words(plan, at)}, earth: its stud is not entered",
                       "enter the earth point of this plan")
        elif signal == "sensor_return" and not _at_control_unit(plan, net):
            yield Task("sensor return", at, f"{pin_words(plan, at)}, sensor return: it is not entered as far as a "
                                            "control unit",
                       "enter its other end; it goes to the control unit and nowhere else")


def _has_feed(plan: Plan, net: Net) -> bool:
    return any(at.of(plan).feed is not None for at in net.pins) or any(
        end.owner[0] in ("circuit", "feed", "alternator") and not end.place.endswith("earth_wire")
        and end.place != WIRE_85 for end in net.ends)


def _has_earth(plan: Plan, net: Net) -> bool:
    return any(at.of(plan).earth is not None for at in net.pins) or any(
        end.place.endswith("earth_wire") or end.owner[0] == "earth" or _coil_earthed(plan, end) for end in net.ends)


def _coil_earthed(plan: Plan, end: CircuitEnd) -> bool:
    """Whether an end is in the wire from 85 of a relay that goes to earth, not to what switches the coil."""
    relay = relay_of(plan, end.owner) if end.place == WIRE_85 else None
    return relay is not None and lands_on_earth(relay)


def _at_control_unit(plan: Plan, net: Net) -> bool:
    return any(plan.connector[at.connector].plugged_into == "control_unit" for at in net.pins)


def _marks(plan: Plan) -> Iterator[Task]:
    """Wires made longer in another colour."""
    for at, _, pin in pins_of(plan):
        added = pin.extension.colour if pin.extension is not None else None
        if added is not None and added != pin.colour:
            yield Task("mark", at, f"{pin_words(plan, at)}: {added} is added to "
                                   f"{pin.colour or 'a wire of no entered colour'}",
                       "mark both sides of the splice with connector and pin, or take the colour as found")


def _log(plan: Plan) -> Iterator[Task]:
    for at, pin in unlogged(plan):
        yield Task("log", at, f"not in the change log: {what_is_done(plan, at, pin)}")
