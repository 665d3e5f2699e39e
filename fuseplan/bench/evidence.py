"""What the plan takes over from a reading that its user accepts: a current becomes its load's figure, a drop becomes
the resistance of a joint, a switch or an earth. The reading itself is never changed.

Nothing is written here: what is answered are values and where they stand in the plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.bench.evidence_ohms import Acceptance, Beside, Change, circuit_ohm, contact_ohm, earth_ohm
from fuseplan.bench.expected import expected
from fuseplan.bench.fuse_millivolts import BAND, current_by_drop, fuse_of
from fuseplan.bench.instruments import INSTRUMENTS, Instrument, instrument_for
from fuseplan.bench.meter_figures import at_least, at_most, shown
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.bench.readings import TakenReading, latest
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.load_figures import nominal, stated_v, tolerances_of
from fuseplan.errors import EditError
from fuseplan.formulas.load import load_current
from fuseplan.plan.parts import Load
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.results.address import joined
from fuseplan.tables import loads as load_tables

DIFFERS = 1e-9


def acceptance(assessment: Assessment, reading: TakenReading, others: tuple[TakenReading, ...] = ()) -> Acceptance:
    """What the plan takes over from a reading.

    Args:
        others: readings taken beside it: the volts at the load and the current of its circuit are taken from there
    Raises:
        EditError: Nothing of the plan can take it over, or the plan holds something better; it says what and why.
    """
    point = reading.point
    beside = latest(others)
    if not math.isfinite(reading.value):
        raise EditError(f"{point.address}: an open says what is wrong, not what a part draws; nothing is taken over")
    if point.kind == "circuit" and point.what in ("current", "load_current", "fuse_mv"):
        return _current(assessment, reading, beside)
    if point.what == "contact_mv":
        return contact_ohm(assessment, reading, beside)
    if point.what in ("wire_mv", "earth_mv") and point.kind == "circuit":
        return circuit_ohm(assessment, reading, beside)
    if point.kind == "earth" and point.what == "strap_mv":
        return earth_ohm(assessment, reading, beside)
    raise EditError(f"{point.address}: no figure of the plan takes this reading over; accepted are current, "
                    "load_current, fuse_mv, wire_mv and earth_mv of a circuit, contact_mv of a circuit or feed, and "
                    "strap_mv of an earth point")


def instrument_of(reading: TakenReading) -> Instrument:
    """The meter of a reading: the one it names, where that is on the list, else the usual one."""
    return INSTRUMENTS.get(reading.instrument or "") or instrument_for(reading.point.unit, reading.value)


def _current(assessment: Assessment, reading: TakenReading, beside: Beside) -> Acceptance:
    point, name = reading.point, reading.point.subject
    if reading.value <= 0:
        raise EditError(f"{point.address}: {shown(reading.value, point)} says what is wrong, not what the load draws; "
                        "nothing is taken over")
    number, current, tolerance = _of_one_load(assessment, reading)
    load = assessment.plan.circuit[name].load[number]
    if load.kind is None:
        raise EditError(f"{point.address}: the kind of '{load.name or f'load {number + 1}'}' is not stated, so its "
                        "current cannot be converted to its reference voltage; enter its kind first")
    volts = _volts_at(assessment, name, number, reading.condition, beside)
    reference = stated_v(load, assessment.results.network.system_v)
    exponent = load_tables.EXPONENTS[load.kind]
    at_reference = float(load_current(current, reference, volts, exponent))
    own = max(tolerances_of(assessment.plan)["measured"], tolerance)
    _never_looser(assessment, point, load, own)
    path: Path = ("circuit", name, "load", number)
    text = writing.entry(at_reference, "A")
    changes: list[Change] = [((*path, "current"), text)]
    if load.power is not None:
        changes.insert(0, ((*path, "power"), None))
    if load.at is None:
        changes.append(((*path, "at"), f"{writing.typed(reference)} V"))
    changes.append(((*path, "evidence"), "measured"))
    if tolerance > tolerances_of(assessment.plan)["measured"]:
        changes.append(((*path, "tolerance"), math.ceil(1000.0 * tolerance) / 1000.0))
    elif load.tolerance is not None:
        changes.append(((*path, "tolerance"), None))
    old = nominal(load, assessment.results.network.system_v)[0]
    before = "not stated" if math.isnan(old) else f"{writing.burden(old, 'A')} ({load.evidence or 'guess'})"
    changes.append(((*path, "source"), _source(reading, volts, before, load)))
    words = (f"{load.name or f'load {number + 1}'}: {text} at {writing.stated(reference, 'V')}, measured, within "
             f"{writing.burden(own, 'share')}; it was {before}")
    return Acceptance(reading, tuple(changes), words,
                      _question(load, old, at_reference, tolerances_of(assessment.plan)))


def _question(load: Load, old: float, new: float, tolerances: dict[str, float]) -> str:
    """Why to ask first: the reading lies outside the band of what the plan says."""
    if math.isnan(old):
        return ""
    tolerance = max(tolerances[load.evidence or "guess"], load.tolerance or 0.0)
    low, high = old * (1.0 - tolerance), old * (1.0 + tolerance)
    if load.range is not None and load.evidence != "measured":
        low, high = min(low, float(load.range[0])), max(high, float(load.range[1]))
    if low <= new <= high:
        return ""
    return (f"the plan has {at_least(low, 'A')} to {at_most(high, 'A')}: find out "
            "why before you take it over (another load on, a bad joint, a load that is not what is written on it)")


def _source(reading: TakenReading, volts: float, before: str, load: Load) -> str:
    date = f", {reading.date}" if reading.date else ""
    meter = f", {reading.instrument}" if reading.instrument else ""
    was = f"; before: {before}" + (f", {load.source}" if load.source and "; before: " not in load.source else "")
    return f"reading {reading.raw} at {reading.point.address}, {writing.measured(volts, 'V')} at the load" \
           f"{meter}{date}{was}"


def _of_one_load(assessment: Assessment, reading: TakenReading) -> tuple[int, float, float]:
    """The load a current is of, that current [A], and what it may be off by as a share."""
    point, name = reading.point, reading.point.subject
    if point.what == "fuse_mv":
        fuse = fuse_of(assessment, ("circuit", name))
        if fuse is None:
            raise EditError(f"{point.address}: no cold resistance is on file for this fuse; read its current with a "
                            "clamp")
        current, tolerance = current_by_drop(fuse, reading.value).value, BAND
        tolerance += instrument_of(reading).error(reading.value) / reading.value
    else:
        current = reading.value
        tolerance = instrument_of(reading).error(current) / current
    if point.what == "load_current":
        return point.load, current, tolerance
    on = _loads_on(assessment, name, reading.condition)
    if not on:
        raise EditError(f"{point.address}: none of its loads is on in '{reading.condition}'")
    consumers = assessment.results.network.consumers
    open_ones = [each for each in on if _load(assessment, each).evidence != "measured"]
    if len(on) > 1 and len(open_ones) != 1:
        raise EditError(f"{point.address}: {len(on)} loads are on together, and the reading does not say which draws "
                        f"what; read {joined(('circuit', name, 'load', '0', 'load_current'))} and so on, the others "
                        "unplugged")
    wanted = (open_ones or on)[0]
    rest = sum(bench_model(assessment).consumer_a(_row(assessment, name, reading.condition), each)
               for each in on if each != wanted)
    own = current - rest
    if own <= 0:
        raise EditError(f"{point.address}: the loads that are measured already draw more than {shown(current, point)}")
    return int(consumers.number[wanted]), own, tolerance * current / own


def _row(assessment: Assessment, circuit: str, condition: str) -> int:
    row = bench_model(assessment).row(condition, circuit)
    if row is None:
        raise EditError(f"circuit.{circuit}: '{condition}' is no condition in which it is on")
    return row


def _loads_on(assessment: Assessment, circuit: str, condition: str) -> list[int]:
    """Consumers of a circuit's loads that are on in a condition."""
    consumers = bench_model(assessment).chosen[0].consumers
    row = _row(assessment, circuit, condition)
    mine = (consumers.circuit == assessment.circuit_index[circuit]) & (consumers.kind == LOAD) & consumers.on[row]
    return [int(each) for each in np.flatnonzero(mine)]


def _load(assessment: Assessment, consumer: int) -> Load:
    consumers = assessment.results.network.consumers
    return assessment.results.network.circuits[int(consumers.circuit[consumer])].load[int(consumers.number[consumer])]


def _volts_at(assessment: Assessment, circuit: str, load: int, condition: str, beside: Beside) -> float:
    """Volts across a load: as read in the same condition, else as the network has them there."""
    within = ("load", str(load)) if load else ()
    address = joined(("circuit", circuit, *within, "load_v"))
    read = beside.get((address, condition))
    if read is not None and math.isfinite(read.value) and read.value > 0:
        return read.value
    meant = expected(assessment, points(assessment)[address], condition)
    if meant.value is None or meant.value <= 0:
        # A load whose current is not stated has no volts in the solved network: those of its supply point are near.
        meant = expected(assessment, points(assessment)[joined(("circuit", circuit, "feed_v"))], condition)
    if meant.value is None or meant.value <= 0:
        raise EditError(f"{address}: read the volts at the load too, in the same condition: without them its current "
                        f"cannot be converted ({meant.words or 'it is dead'})")
    return meant.value


def _never_looser(assessment: Assessment, point: Point, load: Load, tolerance: float) -> None:
    """Refuse what is known less well than what the plan has."""
    if load.evidence == "limit":
        raise EditError(f"{point.address}: the plan has the most that may be drawn (limit); one reading does not show "
                        "that, so the limit is kept")
    if load.evidence != "measured":
        return
    has = max(tolerances_of(assessment.plan)["measured"], load.tolerance or 0.0)
    if tolerance > has * (1.0 + DIFFERS):
        raise EditError(f"{point.address}: the plan has a better reading of this load, within "
                        f"{writing.burden(has, 'share')} against {writing.burden(tolerance, 'share')}; it stands")


def accepting(found: Acceptance) -> Iterator[Change]:
    """All changes of an acceptance, its mark on the reading with them."""
    yield from found.changes
    if found.reading.number >= 0:
        yield ("reading", found.reading.number, "accepted"), True
