"""The rows of first power, and those of each circuit by itself with the engine off.

Required are the amps of each circuit and the volts at its load, as both together show that everything on the way is as
planned; what a drop is made of, and the bulb in a fuse's place, is read where they are not.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.expected import expected
from fuseplan.bench.first_power import Step, first_power
from fuseplan.bench.instruments import instrument_for
from fuseplan.bench.model import bench_model
from fuseplan.bench.plug_rows import powered_rows
from fuseplan.bench.sheet_entries import Entry, Key, at, keys, plug_entries, taken
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.model import Circuit
from fuseplan.plan.roles import must_stop


def first_power_rows(assessment: Assessment) -> Iterator[Entry]:
    """Step by step, in the order of the steps. What to do at a step of which nothing is required stands at the next row
    that is."""
    waiting: list[str] = []
    for entry in _in_order(assessment):
        if entry.required:
            mine = [f"{entry.point.title}: {entry.note}" if waiting else entry.note] if entry.note else []
            yield entry._replace(note=" ".join([*waiting, *mine]))
            waiting = []
        else:
            waiting += [f"{entry.point.title}: {entry.note}"] if entry.note else []
            yield entry._replace(note="")


def _in_order(assessment: Assessment) -> Iterator[Entry]:
    yield from taken(assessment, "rested", ("battery", "volts"))
    steps = first_power(assessment)
    for step in steps:
        if step.turn == "usual":
            yield from (*_unplugged(assessment, step), *_plugged_in(assessment, step))
    # Every fuse of a control unit is in before its plug is read, and its plug is read before it is plugged in.
    units = [step for step in steps if step.turn == "control unit"]
    for step in units:
        yield from _unplugged(assessment, step)
    plug = " ".join(f"{step.key.capitalize()}. {step.words}" for step in units if step.kind == "plug")
    behind = [*plug_entries(assessment, "alone", powered_rows(assessment.plan)),
              *(entry for step in units for entry in _plugged_in(assessment, step))]
    for entry in behind:
        yield entry._replace(note=f"{plug} {entry.note}".strip())
        plug = ""
    for step in steps:
        if step.turn not in ("usual", "control unit"):
            yield from (*_unplugged(assessment, step), *_plugged_in(assessment, step))


def _rows_of(step: Step) -> tuple[Key, ...]:
    """The rows that show whether the step is in order."""
    if step.kind == "feed":
        return keys("alone", ("feed", step.subject, "volts"))
    return keys("alone", *(("circuit", step.subject, what) for what in ("current", "load_v")))


def _is_read(assessment: Assessment, step: Step) -> bool:
    """Whether anything but the bulb is read of a step."""
    return step.kind == "feed" or step.subject in bench_model(assessment).static


def _unplugged(assessment: Assessment, step: Step) -> Iterator[Entry]:
    """What is read of a step before its loads are plugged in. That a bulb is dark is seen; it is read in the battery's
    earth lead, and where nothing else of the step is."""
    head, words = (step.kind, step.subject), f"{step.key.capitalize()}. {step.words}"
    if _has_lamp(assessment, step):
        root = step.kind == "feed" and assessment.plan.feed[step.subject].upstream is None
        required = root or not _is_read(assessment, step)
        yield from taken(assessment, "alone", (*head, "lamp_v"), required=required, note=words if required else "",
                         if_fails=_rows_of(step), only="the bulb glows")
    if step.turn == "control unit" and step.kind == "circuit" and _is_read(assessment, step):
        yield from taken(assessment, "alone", (*head, "plug_v"), note=words)


def _plugged_in(assessment: Assessment, step: Step) -> Iterator[Entry]:
    """What is read of a step after that; the first row says what to do."""
    head = (step.kind, step.subject)
    words = f"{step.key.capitalize()}. {step.words}"
    if step.kind == "feed":
        feed = assessment.plan.feed[step.subject]
        # What is fed by it has no volts without it, and the battery is where the first one hangs.
        fed = keys("alone", *(("circuit", name, "load_v") for name in bench_model(assessment).static
                              if step.subject in _feeds_of(assessment.plan.circuit[name])))
        root = feed.upstream is None
        yield from taken(assessment, "alone", (*head, "volts"), required=not (root or fed), note="" if root else words,
                         if_fails=(*fed, *keys("rested", ("battery", "volts"))))
    elif step.kind == "circuit" and _is_read(assessment, step):
        yield from taken(assessment, "alone", (*head, "current"), note="" if step.turn == "control unit" else words)
        yield from taken(assessment, "alone", (*head, "load_v"))


def _feeds_of(circuit: Circuit) -> tuple[str | None, ...]:
    """The feeds of a circuit and of its relay's coil."""
    return (circuit.feed,) if circuit.relay is None else (circuit.feed, circuit.relay.coil_feed)


def _has_lamp(assessment: Assessment, step: Step) -> bool:
    """Whether a bulb is put in the place of a fuse in a step, or in the battery's earth lead."""
    if step.kind == "circuit":
        return assessment.plan.circuit[step.subject].fuse is not None
    feed = assessment.plan.feed.get(step.subject) if step.kind == "feed" else None
    return feed is not None and (feed.fuse is not None or feed.upstream is None)


def _is_hidden(assessment: Assessment, circuit: str, number: int) -> bool:
    """Whether a load of several may draw half of what it should and the current of all still be as planned."""
    whole, own = (at(assessment, *way) for way in (
        ("circuit", circuit, "current"), ("circuit", circuit, "load", str(number), "load_current")))
    if whole is None or own is None:
        return True
    meant, alone = (expected(assessment, each, "alone") for each in (whole, own))
    if meant.value is None or meant.low is None or alone.value is None:
        return True
    left = meant.value - 0.5 * alone.value
    return left + instrument_for("A", left).error(left) >= meant.low


def static(assessment: Assessment) -> Iterator[Entry]:
    """Of each circuit whether it stops where it must; what its drops are made of, where its volts are not in order."""
    for name in bench_model(assessment).static:
        circuit, head = assessment.plan.circuit[name], ("circuit", name)
        volts = keys("alone", (*head, "load_v"), (*head, "current"))
        supply, back = (keys("alone", (*head, what)) for what in ("supply_mv", "return_mv"))
        yield from taken(assessment, "alone", (*head, "supply_mv"), (*head, "return_mv"), required=False,
                         if_fails=volts)
        yield from taken(assessment, "alone", (*head, "fuse_mv"), (*head, "contact_mv"), required=False,
                         if_fails=supply)
        for number in range(len(circuit.load)):
            of_load = (*head, "load", str(number))
            yield from taken(assessment, "alone", (*of_load, "load_current"), if_fails=volts,
                             required=len(circuit.load) > 1 and _is_hidden(assessment, name, number))
            if number:
                yield from taken(assessment, "alone", (*of_load, "load_v"), required=False, if_fails=(
                    *volts, *keys("alone", (*of_load, "load_current"))))
                mine = keys("alone", (*of_load, "load_v"))
                yield from taken(assessment, "alone", (*of_load, "supply_mv"), (*of_load, "return_mv"),
                                 required=False, if_fails=(*mine, *supply, *back))
        yield from taken(assessment, "alone", *((*head, what) for what in (
            "coil_v", "coil_current", "coil_86_v", "coil_85_mv")), required=False, if_fails=volts)
        # Coil and contact on each other's feed work alike, until one of the fuses blows or the key is off.
        stops = bool(must_stop(name, circuit))
        yield from taken(assessment, "alone", (*head, "relay_feed_v"), required=stops,
                         only="the circuit does not stop as it should")
        if stops:
            yield from taken(assessment, "alone", (*head, "off_v"))
