"""Whether what names a pin names one that is there: ends of wires, and the partners of a pin in its connector.

An end is free text as long as no connector of that name is in the plan; from then on the pin must be there too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fuseplan.quantities.amounts import clean

_ENDS = {"segment": ("start", "end"), "pin": ("other_end", "join_to"), "change": ("wire",)}
"""Which keys of which kind of part say where a wire ends."""
_PARTNERS = ("twisted_with", "shield")
"""Keys of a pin that name another pin of its connector."""
_SHOWN = 12

Path = tuple[str | int, ...]


def _pins(data: Mapping[str, Any], connector: object) -> dict[str, Any] | None:
    """The pins of a connector as the file has them; None where there is no such connector."""
    known = data.get("connector")
    part = known.get(connector) if isinstance(known, dict) and isinstance(connector, str) else None
    if not isinstance(part, dict):
        return None
    pins = part.get("pin")
    return pins if isinstance(pins, dict) else {}


def _accepted(pins: Mapping[str, Any]) -> str:
    if not pins:
        return "accepted are its pins, and it has none yet"
    shown = ", ".join(clean(each) for each in list(pins)[:_SHOWN])
    return f"accepted are {shown}" + (" …" if len(pins) > _SHOWN else "")


def ends_in(kind: str, path: Path, part: Mapping[str, Any]) -> Iterator[tuple[Path, dict[str, Any]]]:
    """Path and table of every end of a wire that a part states itself."""
    for key in _ENDS.get(kind, ()):
        end = part.get(key)
        if isinstance(end, dict):
            yield (*path, key), end


def pin_problems(kind: str, path: Path, part: Mapping[str, Any], data: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """(path, what is wrong and what is accepted) of every pin that a part names and that is not there."""
    for where, end in ends_in(kind, path, part):
        pins, pin = _pins(data, end.get("connector")), end.get("pin")
        if pins is not None and isinstance(pin, str) and pin not in pins:
            yield (*where, "pin"), (f"connector '{clean(end['connector'])}' of this plan has no pin '{clean(pin)}'; "
                                    f"{_accepted(pins)}")
    if kind != "pin":
        return
    pins = _pins(data, path[1]) or {}
    for key in _PARTNERS:
        name = part.get(key)
        if not isinstance(name, str):
            continue
        if name == path[3]:
            yield (*path, key), f"`{key}` names the pin itself; accepted is another pin of its connector"
        elif name not in pins:
            yield (*path, key), (f"`{key}` names pin '{clean(name)}', which is not in its connector; "
                                 f"{_accepted({each: 0 for each in pins if each != path[3]})}")
