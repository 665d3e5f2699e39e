"""The fuse that carries a load and the thicker wires it needs, chosen together: by every check that names them, and as
a proposal chooses them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from fuseplan.checks.fixes import (
    another_insulation,
    fuse_words,
    insulation_asked,
    insulation_before_copper,
    largest_fuse_a,
    size_that_carries,
)
from fuseplan.checks.fuse_to_fit import carrying, may_blow_words, rating_instead
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.seats import other_seat
from fuseplan.checks.subjects import owner_words, segment_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.proposed_ratings import seat_limit_a
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities.listing import all_of
from fuseplan.quantities.wire_size import WireSize


class Wired(NamedTuple):
    """A fuse and the wires that go with it."""

    rating_a: float
    """The fuse to fit; that fitted where it may stay, or where nothing on file says what carries the load."""
    needed_a: float
    """What the wires are to be rated for, at least."""
    words: str
    """The fuse, with its type or holder where that is another one."""
    may_blow: str
    """What stands at the end of the fix where it may blow at switch-on all the same."""
    fits_there: bool
    """Whether the rating can be entered as it is: of the type fitted, in the holder or position named."""
    sizes: tuple[tuple[int, str | None], ...]
    """The wires too thin for it, each with the size it needs; None where none on file is enough."""
    insulation: str | None
    """What the only wire is to be insulated with, where that saves copper."""


def fuse_with_wire(results: Results, device: int, segment: int, low_a: float, now_a: float) -> Wired:
    """The smallest fuse that carries a load, whatever its wire allows, with the sizes that suit it in place of a wire
    and the others of its part; where those sizes allow a larger fuse, the one that a proposal would then choose."""
    network = results.network
    found = None if math.isnan(low_a) else carrying(results, device, low_a)
    if found is None or exceeds(found.rating_a, results.fusing.maker_a[device]):
        needed = now_a if math.isnan(low_a) else max(now_a, low_a)
        return Wired(now_a, needed, fuse_words(results, device, now_a), "", True,
                     *wires_for(results, device, segment, needed))
    sizes, insulation = wires_for(results, device, segment, found.rating_a)
    if found.kind != network.fuse_kinds[device]:
        return Wired(found.rating_a, found.rating_a, found.words, found.may_blow, False, sizes, insulation)
    most = _most_a(results, device, dict(sizes), insulation)
    rating = rating_instead(results, device, found.rating_a, most, network.fuses[device].fuse.rating,
                            wires_stay=False) or found.rating_a
    # What holder and position take of the rating fitted is a finding of its own.
    fits_there = rating == now_a or not other_seat(results, device, rating)
    return Wired(rating, found.rating_a, fuse_words(results, device, rating),
                 may_blow_words(results, device, found.kind, rating), fits_there, sizes, insulation)


def wires_for(results: Results, device: int, segment: int, needed_a: float
              ) -> tuple[tuple[tuple[int, str | None], ...], str | None]:
    """The sizes a fuse of `needed_a` needs in place of a wire and the others of its part, and the insulation of the
    only one where another saves copper."""
    own = _too_thin(results, device, segment, needed_a)
    asked = {index: insulation_asked(results, index) for index in own}
    found = {index: size_that_carries(results, index, needed_a, True, asked[index]) for index in own}
    sizes = {index: None if size is None else asked_too(results, index, size) for index, size in found.items()}
    better = insulation_before_copper(results, own[0], needed_a) if len(own) == 1 and asked[own[0]] is None else None
    # Of a wire that is to be so thick anyway no other insulation saves copper.
    if better is None or (sizes[own[0]] is not None and sizes[own[0]] == results.asked_sizes.get(own[0])):
        return tuple(sizes.items()), None
    return ((own[0], asked_too(results, own[0], better[1])),), better[0]


def insulation_and_wires(results: Results, device: int, segment: int, needed_a: float
                         ) -> tuple[str, tuple[tuple[int, str | None], ...]]:
    """What a wire and the others of its part need for a fuse of `needed_a`, in words, and which wires that are, with
    their sizes: another insulation first where the wire asks for one, then the sizes."""
    sizes, insulation = wires_for(results, device, segment, needed_a)
    first = another_insulation(results, segment)
    if first is None:
        return wires_words(results, sizes, insulation), sizes
    fitted = results.network.segments.segment
    new = tuple((index, size) for index, size in sizes if size is None or WireSize.read(size) != fitted[index].size)
    return f"{first}; then {wires_words(results, new, insulation, segment)}" if new else first, sizes


def sizes_on_file(sizes: Sequence[tuple[int, str | None]]) -> tuple[tuple[int, str], ...]:
    """Those of some wires for which a size on file is enough, each with that."""
    return tuple((index, size) for index, size in sizes if size is not None)


def wires_words(results: Results, sizes: tuple[tuple[int, str | None], ...], insulation: str | None,
                told: int = -1) -> str:
    """To fit some wires, each in place of another: ``fit 4 mm² in place of the wire and of the wire back of Horn``;
    with the insulation where that is to be another, but for a wire `told` of which that was said before."""
    fitted: list[tuple[int, str]] = []
    for index, size in sizes:
        anew = insulation or insulation_asked(results, index)
        covered = f" with {anew} insulation" if anew and (insulation or index != told) else ""
        fitted.append((index, f"{results.network.stock.wire_words(size)}{covered}" if size is not None else
                       "a thicker wire" if anew is None else
                       f"a wire{covered or ' of that insulation'} rated for the fuse"))
    return f"{'' if sizes[0][1] is None else 'fit '}{in_place(results, fitted)}"


def in_place(results: Results, fitted: Sequence[tuple[int, str]]) -> str:
    """What is fitted in place of each of some wires of one part: ``4 mm² in place of wire 1 of Horn and 1 mm² in place
    of wires 2 and 3``."""
    of = f" of {owner_words(results, results.network.segments.owner[fitted[0][0]])}"
    words, last = "", ""
    for what, named in _numbered_together([(what, segment_words(results, index)) for index, what in fitted]):
        words += f"{' and ' if words else ''}{'' if what == last else f'{what} in place '}of " \
                 f"{named.replace(of, '') if words else named}"
        last = what
    return words


_NUMBERED = re.compile(r"wire (\d+)( .*)")


def _numbered_together(named: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """What is fitted in place of which wires: those that differ by their number alone in one, ``wires 1 and 2 of Horn
    (4 mm²)``."""
    groups: dict[tuple[str, str], list[str]] = {}
    for what, name in named:
        found = _NUMBERED.fullmatch(name)
        number, rest = ("", name) if found is None else found.groups()
        groups.setdefault((what, rest), []).append(number)
    return [(what, rest if not numbers[0] else
             f"wire{'s' if len(numbers) > 1 else ''} {all_of(sorted(numbers, key=int))}{rest}")
            for (what, rest), numbers in groups.items()]


def _too_thin(results: Results, device: int, segment: int, needed_a: float) -> list[int]:
    """A wire and the others of its part that a fuse of `needed_a` does not protect either: a thicker wire there is none
    without the wire back, and each of them names the same first."""
    segments = results.network.segments
    return sorted({segment, *(
        index for index in np.flatnonzero(results.network.segment_guard == device).tolist()
        if segments.owner[index] == segments.owner[segment] and not is_coil_wire(segments.place[index])
        and exceeds(needed_a, results.largest_fuse_a[index]))})


def _most_a(results: Results, device: int, sizes: dict[int, str | None], insulation: str | None) -> float:
    """The largest fuse that maker, seat and the wires of a device allow, some of those in new sizes [A]."""
    network = results.network
    most = [float(results.fusing.maker_a[device]), seat_limit_a(network, device)]
    for index in np.flatnonzero((network.segment_guard == device) & ~results.fusing.short_branches).tolist():
        size = sizes.get(index)
        most.append(float(results.largest_fuse_a[index]) if size is None else
                    largest_fuse_a(results, index, WireSize.read(size),
                                   insulation or insulation_asked(results, index)))
    return float(np.nanmin(most))
