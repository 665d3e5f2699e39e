"""Ready to power: what is still open before the battery is connected, before the control unit is plugged in, before
cranking and before driving. An empty list is no claim that the car is safe.

What is open comes from `SOURCES`: functions of an assessment. Another room adds its own there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

from fuseplan.bench.first_power import STAGE_OF_TURN
from fuseplan.bench.points import Point
from fuseplan.bench.readings import readings_of
from fuseplan.bench.sheet import SheetRow, sheet_of
from fuseplan.bench.signatures import SIGNED_ITEMS, StageKey
from fuseplan.bench.turns import turn_of
from fuseplan.checks.assessment import Assessment
from fuseplan.quantities.listing import first_few
from fuseplan.records import dataclass

OpenKind = Literal["danger", "unknown", "fault", "unread", "unsigned"]
KIND_WORDS: dict[OpenKind, str] = {"danger": "danger", "unknown": "not known", "fault": "fault found",
                                   "unread": "not read", "unsigned": "not signed"}
NO_CLAIM = ("This list says what is open, never that the car is safe. Local law and the maker's procedures come first; "
            "where you are not certain, ask a qualified auto electrician.")


@dataclass(frozen=True)
class Stage:
    """One point at which to stop and look at the list."""

    key: StageKey
    title: str


STAGES: tuple[Stage, ...] = (
    Stage("battery", "Before the battery is connected"), Stage("control_unit", "Before the control unit is plugged in"),
    Stage("cranking", "Before cranking"), Stage("driving", "Before driving"))


@dataclass(frozen=True)
class OpenItem:
    """Something that is open."""

    stage: StageKey
    kind: OpenKind
    words: str
    subject: tuple[str, str]
    """Kind and id of the part it is about: where it leads to."""
    row: tuple[str, str] | None = None
    """Point and condition of the row of the test sheet it leads to."""
    key: str = ""
    """Name of what is to be signed for."""


def ready(assessment: Assessment) -> tuple[OpenItem, ...]:
    """Everything that is open, stage by stage, in each the worst first."""
    stages = [stage.key for stage in STAGES]
    kinds = list(KIND_WORDS)
    found = [item for source in SOURCES for item in source(assessment)]
    return tuple(sorted(found, key=lambda item: (stages.index(item.stage), kinds.index(item.kind))))


def open_dangers(assessment: Assessment) -> Iterator[OpenItem]:
    """Dangers the assessment finds: none may be open when the battery is connected."""
    for finding in assessment.findings:
        if finding.level == "danger" and not finding.measure:
            yield OpenItem("battery", "danger", f"{_title(assessment, finding.subject_kind, finding.subject)}: "
                                                f"{finding.message}", finding.owner)


def unknown_circuits(assessment: Assessment) -> Iterator[OpenItem]:
    """Circuits of which too little is known: on a feed that is live at once before the battery is connected, else
    before their turn. One with a danger is listed as such already."""
    network = assessment.results.network
    for name, circuit in assessment.plan.circuit.items():
        if circuit.out_of_scope is not None or assessment.verdict(name) != "unknown":
            continue
        missing = ", ".join([*assessment.missing(name), *assessment.why_unknown(name)][:3])
        live = network.feed_live.get(circuit.feed or "")
        at_once = live is None or bool(live[0])
        yield OpenItem("battery" if at_once else STAGE_OF_TURN[turn_of(name, circuit)], "unknown",
                       f"{circuit.name or name}: {missing or 'not everything it rests on is known'}",
                       ("circuit", name))


def unsaid(assessment: Assessment) -> Iterator[OpenItem]:
    """What the plan does not say of feeds and the alternator and safety rests on; a circuit with such a question is
    listed as unknown already."""
    for each in assessment.not_said:
        if each.safety and each.subject_kind != "circuit":
            yield OpenItem("battery", "unknown", f"{_title(assessment, each.subject_kind, each.subject)}: not said: "
                           f"{each.what}", each.owner)


def out_of_scope_circuits(assessment: Assessment) -> Iterator[OpenItem]:
    """Circuits this program gives no figures for: somebody qualified must have dealt with them."""
    for name, circuit in assessment.plan.circuit.items():
        if circuit.out_of_scope is not None and circuit.feed is not None:
            yield OpenItem("battery", "unknown", f"{circuit.name or name}: out of scope ({circuit.out_of_scope}); the "
                           "maker's procedure and a qualified person", ("circuit", name))


def loom_tasks(assessment: Assessment) -> Iterator[OpenItem]:
    """What is not settled about the looms' plugs. A plug with an unknown pin, and halves that do not agree, are dangers
    of their own and listed as such already."""
    if not assessment.plan.connector:
        return
    from fuseplan.looms.to_do import countdown

    by_plug: dict[tuple[str, str], list[str]] = {}
    for task in countdown(assessment.plan).blocking:
        if task.kind in _STAGE_OF_TASK:
            by_plug.setdefault((task.subject.connector, task.kind), []).append(task.words)
    for (connector, kind), words in by_plug.items():
        yield OpenItem(_STAGE_OF_TASK[kind], "unknown", first_few(words, 1, last="; and "), ("connector", connector))


_STAGE_OF_TASK: dict[str, StageKey] = {"feed": "battery", "earth": "control_unit", "sensor return": "control_unit"}


def lost_readings(assessment: Assessment) -> Iterator[OpenItem]:
    """Readings that say nothing."""
    for lost in readings_of(assessment)[1]:
        yield OpenItem("battery", "unknown", lost.words, ("reading", str(lost.number)))


def sheet_rows(assessment: Assessment) -> Iterator[OpenItem]:
    """Required rows that are not read, part by part, and every reading that is a fault."""
    for section in sheet_of(assessment):
        unread: dict[tuple[str, str, str], list[SheetRow]] = {}
        for row in section.rows:
            stage = stage_of(assessment, section.section.key, row.point)
            if row.reading is None:
                if row.required:
                    unread.setdefault((stage, row.point.kind, row.point.subject), []).append(row)
            elif row.verdict is not None and row.verdict.level == "fault":
                yield OpenItem(stage, "fault", f"{row.number} {row.point.title}, {row.point.words}: {row.reading.raw}, "
                               f"{row.verdict.words}", (row.point.kind, row.point.subject), row.key)
        for (_, kind, subject), rows in unread.items():
            first = rows[0]
            numbers = ", ".join(row.number for row in rows[:4]) + (", …" if len(rows) > 4 else "")
            yield OpenItem(stage_of(assessment, section.section.key, first.point), "unread",
                           f"{section.section.title}, {first.point.title}: {numbers}", (kind, subject), first.key)


def stage_of(assessment: Assessment, section: str, point: Point) -> StageKey:
    """Before which stage a row of the sheet must have been read."""
    if section == "before_power":
        return "battery"
    if section not in ("first_power", "static"):
        return "driving"
    if point.kind != "circuit":
        return "control_unit"
    turn = turn_of(point.subject, assessment.plan.circuit[point.subject])
    if section == "static":
        return "driving" if turn in ("fuel", "ignition") else "cranking"
    return STAGE_OF_TURN[turn]


def signatures(assessment: Assessment) -> Iterator[OpenItem]:
    """What has not been signed for."""
    done = {each.item for each in assessment.plan.signed}
    for item in SIGNED_ITEMS:
        if item.key not in done:
            yield OpenItem(item.stage, "unsigned", item.words, ("signed", item.key), key=item.key)


def _title(assessment: Assessment, kind: str, name: str) -> str:
    part = getattr(assessment.plan, kind, None)
    named = part.get(name) if isinstance(part, dict) else None
    return (getattr(named, "name", None) if named is not None else None) or name


SOURCES: tuple[Callable[[Assessment], Iterator[OpenItem]], ...] = (
    open_dangers, unknown_circuits, unsaid, out_of_scope_circuits, loom_tasks, lost_readings, sheet_rows, signatures)
"""Where what is open comes from."""
