"""How findings name what they are about: subjects, paths into the plan, segments in words."""

from __future__ import annotations

from typing import cast

from fuseplan.checks.rule import SubjectKind
from fuseplan.engine.network import FuseRow
from fuseplan.engine.results import Results

Subject = tuple[SubjectKind, str]


def fuse_subject(row: FuseRow) -> Subject:
    """The circuit, feed or alternator a protective device belongs to."""
    kind, name = row.owner
    return (cast(SubjectKind, kind), name or kind)


def owner_path(owner: tuple[str, str]) -> str:
    """Path of an owner in the plan: ``circuit.fan``, ``alternator``."""
    kind, name = owner
    return f"{kind}.{name}" if name else kind


def fuse_path(row: FuseRow, key: str) -> str:
    """Path of one key of a protective device."""
    return f"{owner_path(row.owner)}.fuse.{key}"


def segment_path(results: Results, index: int, key: str) -> str:
    """Path of one key of a segment."""
    segments = results.network.segments
    return f"{owner_path(segments.owner[index])}.{segments.place[index]}.{key}"


def segment_subject(results: Results, index: int) -> Subject:
    """The circuit, feed, earth or alternator a segment belongs to."""
    kind, name = results.network.segments.owner[index]
    return (cast(SubjectKind, kind), name or kind)


_PLACES = {"wire": "wire", "earth_wire": "earth wire", "charge_wire": "charge lead"}


def segment_words(results: Results, index: int) -> str:
    """A segment as a person would say it: ``wire 2 of fuel_pump (2.5 mm2)``."""
    segments = results.network.segments
    if index < 0:
        return "a wire without a limit on file"
    parts = segments.place[index].split(".")
    words = f"{_PLACES.get(parts[-2], parts[-2])} {int(parts[-1]) + 1}"
    if parts[0] == "load":
        words += f" of load {int(parts[1]) + 1}"
    kind, name = segments.owner[index]
    size = segments.segment[index].size
    return f"{words} of {name or kind} ({size or 'size not given'})"
