"""The readings of a plan that say something about one circuit, and the diagnoses of all circuits that were read."""

from __future__ import annotations

from collections.abc import Iterable

from fuseplan.bench.diagnosis import diagnose, why_not
from fuseplan.bench.diagnosis_records import Diagnosis, Taken
from fuseplan.bench.diagnosis_wirings import tells_of
from fuseplan.bench.drain_hunt import DRAIN, drain_hunt
from fuseplan.bench.readings import TakenReading, readings_of
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.standing import parked_condition


def taken_of(assessment: Assessment, circuit: str) -> list[Taken]:
    """The readings of a circuit, its feeds, its earth points and the battery, in the order of the plan.

    A reading of a feed, an earth point or the battery with one circuit on alone belongs to the circuit whose reading
    stands before it.
    """
    readings, _ = readings_of(assessment)
    return [Taken(each.point, each.condition, each.value, each.instrument)
            for each, of in _owned(readings) if tells_of(assessment.plan, circuit, each.point)
            and (each.condition != "alone" or of == circuit or each.point.what == "off_v")
            and not _of_drain(assessment, each)]


def _of_drain(assessment: Assessment, reading: TakenReading) -> bool:
    """Whether a reading was taken to hunt a drain."""
    index = parked_condition(assessment.results.network)
    return index >= 0 and reading.point.what in ("drain", "fuse_mv") and \
        reading.condition == assessment.results.network.condition_ids[index]


def _owned(readings: Iterable[TakenReading]) -> list[tuple[TakenReading, str]]:
    """Each reading with the circuit it was taken at."""
    found, circuit = [], ""
    for each in readings:
        if each.point.kind == "circuit" and each.point.what != "off_v":
            circuit = each.point.subject
        found.append((each, circuit))
    return found


def read_circuits(assessment: Assessment) -> tuple[list[str], dict[str, str]]:
    """The circuits of which something was read, in the order of the plan: those that can be diagnosed, and the others
    each with why not."""
    readings, _ = readings_of(assessment)
    read = {each.point.subject for each in readings if each.point.kind == "circuit" and not _of_drain(assessment, each)}
    refused = {name: why_not(assessment, name) for name in assessment.plan.circuit if name in read}
    return [name for name, why in refused.items() if not why], {name: why for name, why in refused.items() if why}


def supply_was_read(assessment: Assessment) -> bool:
    """Whether anything was read of battery and alternator besides what was read at a circuit."""
    readings, _ = readings_of(assessment)
    return any(each.point.kind in ("battery", "alternator") and each.condition != "alone" and each.point.what != "drain"
               for each in readings)


def drain_was_read(assessment: Assessment) -> bool:
    """Whether the standing drain or the drop of a fuse of the parked car was read."""
    readings, _ = readings_of(assessment)
    return any(_of_drain(assessment, each) for each in readings)


def diagnosed(assessment: Assessment, circuit: str) -> Diagnosis:
    """What the readings of the plan say about a circuit, about battery and alternator, or about a drain."""
    if circuit == DRAIN:
        readings, _ = readings_of(assessment)
        return drain_hunt(assessment, [Taken(each.point, each.condition, each.value, each.instrument)
                                       for each in readings])
    return diagnose(assessment, circuit, taken_of(assessment, circuit))
