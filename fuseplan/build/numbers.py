"""Wire numbers: those of the plan, and those made for wires without one, from the circuit and the place in it.

A made number rests on nothing but the id of the part and the wire's place in that part, so that no edit elsewhere
changes it. Its last letter N means an earth return, as in aircraft practice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.parts import Segment

_LETTERS = "ABCDEFGHJKLMPQRSTUVWXYZ"
"""Without I, O and N: 1, 0 and the mark of an earth return are not to be mistaken for them."""
_RESERVED = ("feed", "earth", "alternator", "circuit")

Owner = tuple[str, str]


def letter(index: int) -> str:
    """Letter of the length of wire of that number from 0: A, B … Z, AA."""
    text = ""
    index += 1
    while index > 0:
        index, rest = divmod(index - 1, len(_LETTERS))
        text = _LETTERS[rest] + text
    return text


def made_number(owner: Owner, place: str) -> str:
    """Number of a length of wire without one: ``fuel_pump-A``, ``feed-main_bus-A``, ``fuel_pump-2AN`` for the earth
    return of load 2, ``fuel_pump-K85A`` for the wire from terminal 85 of its relay."""
    kind, name = owner
    steps = place.split(".")
    coil = steps[1].replace("wire_", "K") if is_coil_wire(place) else ""
    load = str(int(steps[1]) + 1) if steps[0] == "load" else ""
    side = "N" if steps[-2] == "earth_wire" or kind == "earth" else ""
    plain = kind == "circuit" and name.partition("-")[0] not in _RESERVED
    base = name if plain else f"{kind}-{name}" if name else kind
    return f"{base}-{coil}{load}{letter(int(steps[-1]))}{side}"


def numbers_of(owner: Owner, before: str, wire: Sequence[Segment]) -> list[tuple[str, bool]]:
    """Number of each segment of a wire, and whether it is made here.

    One number on several segments of the same wire stays, with a letter for each: 12A, 12B.
    """
    shared = Counter(segment.number for segment in wire if segment.number)
    found = []
    for index, segment in enumerate(wire):
        if not segment.number:
            found.append((made_number(owner, f"{before}.{index}"), True))
        elif shared[segment.number] > 1:
            found.append((f"{segment.number}{letter(index)}", False))
        else:
            found.append((segment.number, False))
    return found
