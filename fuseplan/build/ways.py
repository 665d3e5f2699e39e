"""The way of each wire along the runs: which places it passes from its start to its end, as far as the plan says so."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.build.bundles import Bundle
from fuseplan.build.ends import EndPoint
from fuseplan.build.numbers import Owner
from fuseplan.build.wires import Piece
from fuseplan.plan.model import Run
from fuseplan.records import dataclass

Key = tuple[Owner, str]


@dataclass(frozen=True)
class Way:
    """A wire along runs."""

    piece: Piece
    stops: tuple[str, ...]
    """Places from the start of the wire to its end, one more than runs."""
    directed: bool
    """Which end of the wire is at which end of its way is known. A wire along one run alone may lie either way: it is
    known only where the wire it meets goes on from one end of that run."""

    @property
    def ends(self) -> tuple[tuple[str, EndPoint], tuple[str, EndPoint]]:
        """Where it leaves the loom, each with its end of the wire there."""
        return (self.stops[0], self.piece.start), (self.stops[-1], self.piece.end)


def ways(bundles: tuple[Bundle, ...]) -> dict[Key, Way]:
    """The ways of all wires whose runs hang together; the others are left out."""
    runs = {bundle.id: bundle.run for bundle in bundles}
    pieces = {piece.key: piece for bundle in bundles for piece in bundle.pieces}
    found = {}
    for key, piece in pieces.items():
        stops = _stops([runs[name] for name in piece.runs if name in runs])
        if stops is not None:
            found[key] = _single(piece, stops, pieces, runs) if len(stops) == 2 else Way(piece, stops, True)
    return found


def _stops(along: list[Run]) -> tuple[str, ...] | None:
    """Places along runs that follow each other; None where one does not begin where the last one ended."""
    if not along:
        return None
    if len(along) == 1:
        return along[0].start, along[0].end
    shared = {along[0].start, along[0].end} & {along[1].start, along[1].end}
    if len(shared) != 1:
        return None
    here = next(iter({along[0].start, along[0].end} - shared), None)
    if here is None:
        return None
    stops = [here]
    for run in along:
        if stops[-1] not in (run.start, run.end):
            return None
        stops.append(run.end if stops[-1] == run.start else run.start)
    return tuple(stops)


def _single(piece: Piece, stops: tuple[str, ...], pieces: Mapping[Key, Piece], runs: Mapping[str, Run]) -> Way:
    """A wire along one run, turned by the wires that its ends meet."""
    votes = {_beside(piece, piece.start, stops, pieces, runs), *(
        other for other in stops if _beside(piece, piece.end, stops, pieces, runs) not in (None, other))} - {None}
    if votes == {stops[0]}:
        return Way(piece, stops, True)
    if votes == {stops[1]}:
        return Way(piece, stops[::-1], True)
    return Way(piece, stops, False)


def _beside(piece: Piece, end: EndPoint, stops: tuple[str, ...], pieces: Mapping[Key, Piece], runs: Mapping[str, Run]
            ) -> str | None:
    """The one of two places that a wire met at an end goes on from; None where none or both are."""
    others = [pieces[piece.owner, place] for place in end.target.others if (piece.owner, place) in pieces]
    touched = {place for other in others for name in other.runs if name in runs and name not in piece.runs
               for place in (runs[name].start, runs[name].end)} & set(stops)
    return next(iter(touched)) if len(touched) == 1 else None


def parted(found: Mapping[Key, Way]) -> tuple[tuple[Way, Way], ...]:
    """Wires that are joined by the plan, but whose ways have no end in common: one of the two is wrong."""
    pairs: dict[frozenset[Key], tuple[Way, Way]] = {}
    for way in found.values():
        for place, end in way.ends:
            mine = {place} if way.directed else {way.stops[0], way.stops[-1]}
            for other in (found.get((way.piece.owner, name)) for name in end.target.others):
                if other is not None and not mine & {other.stops[0], other.stops[-1]}:
                    pairs.setdefault(frozenset((way.piece.key, other.piece.key)), (way, other))
    return tuple(pairs.values())


def parted_words(one: Way, other: Way) -> str:
    """What is wrong with two joined wires whose ways do not meet."""
    def between(way: Way) -> str:
        return f"{way.stops[0].replace('_', ' ')} and {way.stops[-1].replace('_', ' ')}"

    return (f"Wires {one.piece.number} and {other.piece.number} are joined in the plan, but the one lies between "
            f"{between(one)}, the other between {between(other)}: find out which is wrong before you build them.")


def place_on_run(way: Way, place_m: float, runs: Mapping[str, Run]) -> tuple[str, float] | None:
    """The run that a place of a wire lies in and its share of that run's length from the run's own start; None where
    the wire's direction or a length is not known, or the place is beyond its runs."""
    if not way.directed:
        return None
    left = place_m
    for name, here in zip((name for name in way.piece.runs if name in runs), way.stops[:-1], strict=True):
        run = runs[name]
        if run.length is None:
            return None
        length = float(run.length)
        if left <= length:
            return name, left / length if here == run.start else 1.0 - left / length
        left -= length
    return None
