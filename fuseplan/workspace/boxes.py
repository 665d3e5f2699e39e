"""Fuse boxes with their ways: what sits where, what is free, and where a fuse without a position could go."""

from __future__ import annotations

from fuseplan.checks import boxes as checked
from fuseplan.papers.columns import fuse_words, takes_words
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import Path
from fuseplan.records import dataclass
from fuseplan.results.fuse import fuse_result
from fuseplan.workspace.session import Session


@dataclass(frozen=True)
class Seat:
    """One line of a fuse box: a way, or a fuse on its feed that has no position yet.

    Attributes:
        position: name of the way; empty for a fuse without one
        takes: what the way is made for; empty where the plan does not say
        holds: what sits in it; empty where it is free
        wrong: why that may not sit there; empty where nothing stands against it
        others: for a fuse, free ways that suit it; for a free way, nothing
        field: field of the plan in which the position is changed
        owner: kind and name of the part whose fuse it is; None for a free way
    """

    position: str
    takes: str
    holds: str
    wrong: str
    others: tuple[str, ...]
    field: Path
    owner: tuple[str, str] | None


@dataclass(frozen=True)
class Box:
    """One fuse box: how many of its ways are free, how many are wanted free, and its lines."""

    id: str
    name: str
    feed: str
    feed_name: str
    ways: int
    free: int
    wanted: int
    seats: tuple[Seat, ...]


def boxes(session: Session) -> list[Box]:
    """The fuse boxes of the plan in its order."""
    results = session.assessment.results
    found = []
    for name, box in results.plan.fuse_box.items():
        ways = checked.ways(results, name)
        seats = [seat for way in ways for seat in _seats(session, way)]
        seats += [_loose(session, index) for index, row in enumerate(results.network.fuses)
                  if not row.fuse.position and name in dict(checked.boxes_at(results, index))]
        found.append(Box(name, box.name or name, box.feed, title_of(results.plan, "feed", box.feed), len(ways),
                         checked.free(results, name), box.spare or 0, tuple(seats)))
    return found


def _seats(session: Session, way: checked.Way) -> list[Seat]:
    """A way once for every fuse that claims it; a free one once."""
    results, takes = session.assessment.results, takes_words(way.part)
    if way.is_free:
        own = way.position in session.plan.fuse_box[way.box].position
        field: Path = ("fuse_box", way.box, "position", way.position) if own else ("fuse_box", way.box, "numbered")
        return [Seat(way.position, takes, "", "", (), field, None)]
    found = []
    for device in way.devices:
        wrong = checked.why_not(results, device, way) or ""
        if not wrong and len(way.devices) > 1:
            wrong = "more than one fuse claims this way"
        others = _fitting(session, device) if wrong else ()
        found.append(Seat(way.position, takes, _words(session, device), wrong, others, _field(session, device),
                          _owner(session, device)))
    return found


def _loose(session: Session, device: int) -> Seat:
    return Seat("", "", _words(session, device), "", _fitting(session, device), _field(session, device),
                _owner(session, device))


def _fitting(session: Session, device: int) -> tuple[str, ...]:
    return tuple(answer.way.position for answer in checked.answers(session.assessment.results, device)
                 if answer.why_not is None and answer.way.is_free)


def _owner(session: Session, device: int) -> tuple[str, str]:
    kind, name = session.assessment.results.network.fuses[device].owner
    return kind, name or kind


def _field(session: Session, device: int) -> Path:
    kind, name = session.assessment.results.network.fuses[device].owner
    return (kind, name, "fuse", "position") if name else (kind, "fuse", "position")


def _words(session: Session, device: int) -> str:
    kind, name = _owner(session, device)
    view = fuse_result(session.assessment, session.assessment.results.network.fuses[device].owner)
    return f"{title_of(session.plan, kind, name)}, {fuse_words(view)}"
