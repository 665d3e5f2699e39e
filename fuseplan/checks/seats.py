"""Where a fuse sits that its holder or position does not take."""

from __future__ import annotations

import math

from fuseplan.engine.at_limit import at_most
from fuseplan.engine.proposed_ratings import seat_limits_a
from fuseplan.engine.results import Results
from fuseplan.engine.stock import ratings_between
from fuseplan.quantities import writing
from fuseplan.tables.terminals import Holder, holders


def carries_a(holder: Holder) -> float:
    """What a holder carries continuously [A]; infinite where nothing is printed."""
    limit = holder.max_a if holder.continuous_a is None else holder.continuous_a
    return math.inf if limit is None else limit


def takes(holder: Holder, kind: str, rating_a: float, load_a: float) -> bool:
    """Whether a holder is known to be rated for a fuse and its load."""
    return holder.fuse_kind == kind and holder.max_a is not None and at_most(rating_a, holder.max_a) \
        and at_most(load_a, carries_a(holder))


def holder_for(kind: str, rating_a: float, load_a: float = 0.0) -> Holder | None:
    """The smallest holder on file rated for a fuse and its load; None where none is."""
    fits = [holder for holder in holders().values() if takes(holder, kind, rating_a, load_a)]
    return min(fits, key=lambda holder: holder.max_a or 0.0, default=None)


def rating_to_hold(results: Results, device: int) -> float:
    """The rating that a holder of a device is chosen for [A]: the one there where that carries the load, else the
    smallest of its type that does; NaN where none is."""
    low, now = float(results.fusing.low_a[0, device]), float(results.fusing.rating_a[device])
    return now if at_most(low, now) else next(iter(ratings_between(results.network.fuse_kinds[device], low)), math.nan)


def holder_words(holder: Holder) -> str:
    """A holder to be fitted, with its id: ``a maxi in-line holder (maxi_in_line)``."""
    return f"a {holder.words} ({holder.id})"


def other_seat(results: Results, device: int, rating_a: float) -> str:
    """The holder and the position that a rating asks for, where that of a device takes none so large: `` (in another
    position: its own takes 20 A at most)``; empty where it does."""
    network, words = results.network, ""
    holder_a, position_a = seat_limits_a(network, device)
    if not at_most(rating_a, holder_a):
        larger = holder_for(network.fuses[device].fuse.kind, rating_a, float(results.fusing.continuous_a[0, device]))
        words = _elsewhere("holder", holder_a) if larger is None else f" in {holder_words(larger)}"
    return words if at_most(rating_a, position_a) else words + _elsewhere("position", position_a)


def _elsewhere(seat: str, most_a: float) -> str:
    return f" (in another {seat}: its own takes {writing.rating(most_a)} at most)"
