"""Which wire of the plan a row of the list of wires is a length of: the words for it, and where it stands."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from fuseplan.errors import AmountError
from fuseplan.plan.coils import WIRE_85, WIRE_86
from fuseplan.plan.references import Path, accepted, as_table, part_kind_words
from fuseplan.planfile.plain import MISSING, get
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import clean

OWNERS: Mapping[str, str] = {"circuit": "circuit", "feed": "feed", "earth point": "earth",
                             "alternator": "alternator", "loom": "loom"}
"""What a wire may be of, in words: key of its table in the plan."""
_COIL = {"coil 86": WIRE_86, "coil 85": WIRE_85}
_WIRES: Mapping[str, Mapping[str, str]] = {
    "circuit": {"supply": "wire", "earth": "earth_wire", **_COIL},
    "feed": {"supply": "wire", **_COIL},
    "earth": {"earth": "wire"},
    "alternator": {"supply": "cable"},
    "loom": {"loom": "wire"},
}
"""Words for the wires of each, that of an empty cell first, and their place in it."""
_OF_LOAD = re.compile(r"(earth of )?load (\d{1,4})\Z")


def place_words(owner: str, place: str) -> tuple[str, str]:
    """What a wire is of, and which wire of it, by table of its owner and place there: ``load.0.earth_wire``."""
    of = next(words for words, table in OWNERS.items() if table == owner)
    if place.startswith("load."):
        _, number, wire = place.split(".")
        return of, f"{'earth of ' if wire == 'earth_wire' else ''}load {int(number) + 1}"
    return of, next(words for words, found in _WIRES[owner].items() if found == place)


def called(path: Path) -> str:
    """The part of the plan that a path leads into, in the middle of a sentence: ``circuit 'fan'``."""
    return "the alternator" if path[0] == "alternator" else f"{part_kind_words(str(path[0]))} '{clean(path[1])}'"


def table_of(words: str) -> str:
    """Table of the plan that a wire is of; that of circuits where a row does not say.

    Raises:
        AmountError: The plan has no such wires; with what is accepted.
    """
    text = words.casefold() or "circuit"
    if text not in OWNERS:
        raise AmountError(f"'{clean(words)}' is nothing that wires are of; {accepted(text, OWNERS)}")
    return OWNERS[text]


def wire_path(data: Mapping[str, Any], root: Path, words: str) -> Path:
    """Where the lengths of a wire stand in a plan's plain data.

    Args:
        data: the plan
        root: the part it is of: ``("circuit", "fan")``
        words: which wire of it; empty: its supply wire, or the only one it has
    Raises:
        AmountError: There is no such wire, or what it goes to is not in the plan; with what is accepted.
    """
    owner, text = str(root[0]), words.casefold()
    found = _OF_LOAD.match(text) if owner == "circuit" else None
    if found is not None:
        loads = get(data, (*root, "load"))
        count = len(loads) if isinstance(loads, list) else 0
        if not 0 < int(found[2]) <= count:
            raise AmountError(f"{called(root)} has {writing.counted(count, 'load')} in the plan; accepted is "
                              + (f"a number from 1 to {count}" if count else "a wire of the circuit itself, or its "
                                 "loads first"))
        return (*root, "load", int(found[2]) - 1, "earth_wire" if found[1] else "wire")
    wires = _WIRES[owner]
    if not text:
        return (*root, next(iter(wires.values())))
    if text not in wires:
        known = [*wires, *(("load 1", "earth of load 1") if owner == "circuit" else ())]
        raise AmountError(f"'{clean(words)}' is no wire of {called(root)}; {accepted(text, known)}")
    path = (*root, *wires[text].split("."))
    if text in _COIL and not as_table(get(data, (*root, "relay"))):
        raise AmountError(f"{called(root)} has no relay in the plan; accepted is a wire of a relay that is there")
    return path


def is_there(data: Mapping[str, Any], root: Path) -> bool:
    """Whether the part a wire is of may be named: a circuit that is new is made, anything else must be in the plan."""
    return root[0] == "circuit" or get(data, root) is not MISSING
