"""The rows before power, in two rounds: at the plugs with everything unplugged, then at the fuse box with everything
plugged in.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.expected import expected
from fuseplan.bench.plug_rows import unpowered_rows
from fuseplan.bench.points import points
from fuseplan.bench.sheet_entries import Entry, plug_entries, taken
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.idle_feeds import NOTHING_YET, idle_feeds
from fuseplan.plan.model import Circuit
from fuseplan.results.address import joined

TELLS_A_SHORT_OHM = 1.0
"""A circuit whose cold loads have at least this is told from a short by an ohmmeter that shows tenths. Common practice,
no source."""
UNPLUGGED, PLUGGED = "Everything unplugged. ", "Everything plugged in, at the fuse box. "


def before_power(assessment: Assessment) -> Iterator[Entry]:
    """Feeds, then each circuit at its plugs, near ones together; then all circuits from the fuse box, feed by feed."""
    plan, idle = assessment.plan, idle_feeds(assessment.plan)
    for name in plan.feed:
        beside, bolted = _wired_to(assessment, name), _bolted(assessment, name)
        note = f"except {', '.join(beside)}: joined to it without a fuse" if beside else ""
        same = "one metal with the feed it is bolted to" if bolted else ""
        if name in idle:
            same = NOTHING_YET
            note = f"{note}; {NOTHING_YET}" if note else NOTHING_YET
        required = not bolted and name not in idle
        yield from taken(assessment, "unpowered", ("feed", name, "earth_ohm"), required=required, note=same)
        yield from taken(assessment, "unpowered", ("feed", name, "other_feeds_ohm"), required=required, note=note)
    places = list(dict.fromkeys(_place(circuit) for circuit in plan.circuit.values()))
    first = UNPLUGGED
    for name, circuit in sorted(plan.circuit.items(), key=lambda each: places.index(_place(each[1]))):
        for entry in _at_its_plug(assessment, name, circuit):
            yield entry._replace(note=f"{first}{entry.note}".strip())
            first = ""
    yield from taken(assessment, "unpowered", ("can", "pair_ohm"), ("can", "high_earth_ohm"), ("can", "low_earth_ohm"),
                     required=False, note="if the car has one")
    yield from plug_entries(assessment, "unpowered", unpowered_rows(plan))
    feeds, first = list(plan.feed), PLUGGED
    for name, circuit in sorted(plan.circuit.items(), key=lambda each: feeds.index(each[1].feed)
                                if each[1].feed in feeds else len(feeds)):
        electronic = any(load.kind == "electronic" for load in circuit.load)
        note = "electronics: ohmmeter only, no number to expect" if electronic else ""
        for entry in taken(assessment, "unpowered", ("circuit", name, "cold_ohm"), note=f"{first}{note}".strip()):
            yield entry
            first = ""


def _at_its_plug(assessment: Assessment, name: str, circuit: Circuit) -> Iterator[Entry]:
    one_way = any(load.kind in ("electronic", "motor") for load in circuit.load)
    for what in ("wire_ohm", "return_ohm"):
        yield from taken(assessment, "unpowered", ("circuit", name, what), required=one_way,
                         note="polarity: its load works or turns one way round only" if one_way else "")
    told = _short_is_told(assessment, name)
    yield from taken(assessment, "unpowered", ("circuit", name, "plus_to_earth_ohm"), required=not told,
                     note="its cold resistance, read later from the fuse box, tells a short, too" if told else "")


def _short_is_told(assessment: Assessment, name: str) -> bool:
    """Whether the resistance of a circuit with its cold loads is far enough from that of a short."""
    point = points(assessment).get(joined(("circuit", name, "cold_ohm")))
    if point is None:
        return False
    meant = expected(assessment, point, "unpowered")
    return meant.value is not None and meant.low is not None and meant.low >= TELLS_A_SHORT_OHM


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
