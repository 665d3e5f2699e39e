"""A holder that takes neither the fuse in it nor its load, or none of its type."""

from __future__ import annotations

import math

from fuseplan.advice.draft import OUT_OF_SCOPE
from fuseplan.advice.edit import owner_key
from fuseplan.advice.look import Look
from fuseplan.advice.rating_cures import fit_type, rating
from fuseplan.advice.ratings import can_grow
from fuseplan.checks.rule import Finding
from fuseplan.checks.seats import holder_for, holder_words, rating_to_hold, takes
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.stock import larger_types, ratings_between
from fuseplan.tables.fuses import kind_words
from fuseplan.tables.terminals import Holder, holders


def has_holder(look: Look, finding: Finding) -> bool:
    """Whether a finding is about the holder of a fuse whose load is known."""
    index = look.device_of(finding)
    return index is not None and not math.isnan(float(look.results.fusing.low_a[0, index]))


def holder(look: Look, finding: Finding) -> None:
    """A smaller rating, where the holder takes one that carries the load; else a holder on file for the rating that
    will be fitted, or for the smallest that carries the load; else a larger type in a holder of its own. Given up once
    the rating is the one that will be fitted."""
    draft, results, index = look.draft, look.results, look.device_of(finding)
    row = None if index is None else results.network.fuses[index]
    if index is None or row is None or not draft.in_scope(owner_key(row.owner)):
        draft.give_up_on(finding, OUT_OF_SCOPE, "no other holder can be fitted here")
        return
    kind, fusing, own = row.fuse.kind, results.fusing, holders().get(row.fuse.holder or "")
    low, load, now = float(fusing.low_a[0, index]), float(fusing.continuous_a[0, index]), float(fusing.rating_a[index])
    stays = row.owner in draft.stuck or ("fuse-too-small", finding.subject_kind, finding.subject) in draft.given_up
    least = now if stays else next(iter(ratings_between(kind, low)), math.nan)
    if own is not None and not stays and takes(own, kind, least, load):
        rating(look, finding)
        return
    wanted = now if stays else rating_to_hold(results, index)
    found = holder_for(kind, wanted, load) or holder_for(kind, least, load)
    other = None if found is not None or stays else _larger(look, index, low, load)
    if other is not None:
        fit_type(look, row, other[0], finding, f"fit {holder_words(other[1])}")
        draft.managed.add(row.owner)
        draft.reasons[row.owner] = finding
        found = other[1]
    if found is None:
        if row.owner in draft.settled | draft.stuck or \
                (at_most(now, float(fusing.high_a[index])) and (stays or at_most(low, now))):
            draft.give_up_on(finding, "the holders on file",
                             f"no holder on file takes a {kind_words(kind)} that carries the load")
        return
    draft.put((*owner_key(row.owner), "fuse", "holder"), row.fuse.holder, found.id, finding.check,
              f"{finding.message}; fit {holder_words(found)}")


def _larger(look: Look, index: int, low_a: float, load_a: float) -> tuple[str, Holder] | None:
    """The next larger type with a rating that carries the load, that the wire allows or may grow for, and a holder for
    it; None where there is none, in a position of a fuse box, or of a type that no holder on file is made for."""
    results, fuse = look.results, look.results.network.fuses[index].fuse
    if fuse.position is not None or not any(each.fuse_kind == fuse.kind for each in holders().values()):
        return None
    for kind in larger_types(fuse.kind):
        step = next(iter(ratings_between(kind, low_a)), math.nan)
        found = holder_for(kind, step, load_a)
        if found is not None and (at_most(step, float(results.fusing.high_a[index]))
                                  or can_grow(look.draft, results, index, step)):
            return kind, found
    return None
