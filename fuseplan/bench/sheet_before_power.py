"""The rows before power, in two rounds: with everything unplugged, then at the fuse box with everything plugged in.

Required are those that find a short, a feed joined to another, and a plug wired the wrong way round; an open hurts
nobody and is found at first power. One reading of everything at once stands for those of each wire.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.expected import expected
from fuseplan.bench.plug_points import never_probed
from fuseplan.bench.plug_rows import unpowered_rows
from fuseplan.bench.points import points
from fuseplan.bench.sheet_entries import Entry, keys, plug_entries, taken
from fuseplan.bench.turns import turn_of
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.idle_feeds import NOTHING_YET, idle_feeds
from fuseplan.plan.model import Circuit, Plan
from fuseplan.results.address import joined

TELLS_A_SHORT_OHM = 0.5
"""A circuit whose cold loads have at least this is told from a short by an ohmmeter that shows tenths and may be two of
them off. Common practice, no source."""
UNPLUGGED, PLUGGED = "Everything unplugged. ", "Everything plugged in, at the fuse box, all fuses out. "
ALL_TO_EARTH = keys("unpowered", ("battery", "all_earth_ohm"))


def before_power(assessment: Assessment) -> Iterator[Entry]:
    """Feeds, everything at once, then what is read at plugs, near ones together; then all circuits from the fuse box,
    feed by feed."""
    plan, idle = assessment.plan, idle_feeds(assessment.plan)
    hands_off = _hands_off(plan)
    for number, name in enumerate(plan.feed):
        beside, bolted = _wired_to(assessment, name), _bolted(assessment, name)
        note = f"{', '.join(beside)} not clipped: joined to it without a fuse" if beside else ""
        same = "One metal with the feed it is bolted to" if bolted else ""
        note = same or note
        if name in idle:
            note = f"{note}; {NOTHING_YET}" if note else NOTHING_YET
        note = f"{hands_off} {note}".strip() if number == 0 else note
        mine = keys("unpowered", ("feed", name, "earth_ohm"))
        yield from taken(assessment, "unpowered", ("feed", name, "earth_ohm"), required=not bolted and name not in idle,
                         note=note, if_fails=ALL_TO_EARTH)
        yield from taken(assessment, "unpowered", ("feed", name, "other_feeds_ohm"), required=False, if_fails=mine)
    yield from taken(assessment, "unpowered", ("battery", "all_earth_ohm"), note=(
        f"{UNPLUGGED}Clip leads off, all fuses in, key on. Not open: pull the fuses one at a time; the one that clears "
        f"it leads to the short. Then all fuses out again. {hands_off}".strip()))
    places = list(dict.fromkeys(_place(circuit) for circuit in plan.circuit.values()))
    first = UNPLUGGED
    for name, circuit in sorted(plan.circuit.items(), key=lambda each: places.index(_place(each[1]))):
        for entry in _at_its_plug(assessment, name, circuit):
            yield entry._replace(note=f"{first if entry.required else ''}{entry.note}".strip())
            first = "" if entry.required else first
    yield from taken(assessment, "unpowered", ("can", "pair_ohm"), ("can", "high_earth_ohm"), ("can", "low_earth_ohm"),
                     required=False, only="the car has one")
    yield from plug_entries(assessment, "unpowered", unpowered_rows(plan))
    feeds, first = list(plan.feed), PLUGGED
    for name, circuit in sorted(plan.circuit.items(), key=lambda each: feeds.index(each[1].feed)
                                if each[1].feed in feeds else len(feeds)):
        electronic = any(load.kind == "electronic" for load in circuit.load)
        note = "Electronics: ohmmeter only, no number to expect" if electronic else ""
        told = _short_is_told(assessment, name)
        for entry in taken(assessment, "unpowered", ("circuit", name, "cold_ohm"), required=told,
                           note=f"{first if told else ''}{note}".strip(), if_fails=keys(
                               "alone", ("circuit", name, "current"), ("circuit", name, "load_v"))):
            yield entry
            first = "" if told else first


def _at_its_plug(assessment: Assessment, name: str, circuit: Circuit) -> Iterator[Entry]:
    head = ("circuit", name)
    cold = keys("unpowered", (*head, "cold_ohm"))
    one_way = any(load.kind in ("electronic", "motor", None) for load in circuit.load)
    yield from taken(assessment, "unpowered", (*head, "wire_ohm"), required=False, if_fails=cold)
    # Without its earth a control unit takes its current back through its sensors, and without the engine's strap a
    # starter through cables and control units.
    earthed = turn_of(name, circuit) in ("control unit", "starter")
    yield from taken(assessment, "unpowered", (*head, "return_ohm"), required=earthed, if_fails=(
        *cold, *keys("unpowered", (*head, "plus_to_earth_ohm"))))
    yield from taken(assessment, "unpowered", (*head, "plus_to_earth_ohm"), required=one_way, note=(
        "Near 0 Ω: supply and earth pin swapped, or a short; its load works or turns one way round only"
        if one_way else ""), if_fails=(*ALL_TO_EARTH, *cold))


def _hands_off(plan: Plan) -> str:
    """What is neither unplugged nor measured when everything else is; empty where there is nothing of that kind."""
    named = [*(f"{circuit.name or name} ({circuit.out_of_scope.replace('_', ' ')})"
               for name, circuit in plan.circuit.items() if circuit.out_of_scope is not None), *never_probed(plan)]
    return f"Hands off {', '.join(named)}: fuses stay out, plugs stay as they are; the maker's procedure." \
        if named else ""


def _short_is_told(assessment: Assessment, name: str) -> bool:
    """Whether an ohmmeter tells a circuit with its cold loads from one with a short across them; yes where what to
    expect is not known, and is left to whoever reads it."""
    point = points(assessment).get(joined(("circuit", name, "cold_ohm")))
    if point is None:
        return False
    meant = expected(assessment, point, "unpowered")
    return meant.low is None or meant.low >= TELLS_A_SHORT_OHM


def _place(circuit: Circuit) -> str:
    """What says best where the loads of a circuit are: the end of its wire, else its earth point."""
    wire = next((each for each in (circuit.wire, *(load.wire for load in circuit.load)) if each), ())
    last = wire[-1] if wire else None
    if last is not None and last.along:
        return last.along[-1]
    return (last.zone if last is not None else None) or circuit.earth or ""


def _bolted(assessment: Assessment, feed: str) -> bool:
    part = assessment.plan.feed[feed]
    return part.upstream in assessment.plan.feed and part.fuse is None and part.relay is None and part.switch is None


def _wired_to(assessment: Assessment, name: str) -> list[str]:
    """Feeds joined to a feed, directly or by way of others, without fuse, relay or switch."""
    feeds = assessment.plan.feed
    return [feed.name or other for other, feed in feeds.items()
            if other != name and _top(assessment, other) == _top(assessment, name)]


def _top(assessment: Assessment, feed: str) -> str:
    """The first feed on the way to a feed from which nothing parts it."""
    while _bolted(assessment, feed):
        feed = str(assessment.plan.feed[feed].upstream)
    return feed
