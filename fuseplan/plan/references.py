"""Parts of a plan as its file has them: what each is called, where it stands, and which others it names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import Any

from fuseplan.plan.pins import ends_in
from fuseplan.plan.words import READING_CONDITIONS
from fuseplan.quantities.amounts import clean

Path = tuple[str | int, ...]
"""Where something stands in a plan: keys and, in lists, positions from 0."""
Part = tuple[str, Path, dict[str, Any]]
"""Kind of part, where it stands, and its keys."""

REFERENCES: dict[tuple[str, str], str] = {
    ("battery", "zone"): "zone",
    ("alternator", "feed"): "feed",
    ("alternator", "earth"): "earth",
    ("alternator", "exciter"): "circuit",
    ("alternator", "sense_feed"): "feed",
    ("alternator", "sense_lead"): "circuit",
    ("run", "zone"): "zone",
    ("feed", "from"): "feed",
    ("feed", "zone"): "zone",
    ("earth", "to"): "earth",
    ("earth", "zone"): "zone",
    ("circuit", "feed"): "feed",
    ("circuit", "also_from"): "feed",
    ("circuit", "earth"): "earth",
    ("load", "earth"): "earth",
    ("load", "to_feed"): "feed",
    ("segment", "zone"): "zone",
    ("segment", "along"): "run",
    ("fuse", "zone"): "zone",
    ("relay", "zone"): "zone",
    ("relay", "coil_feed"): "feed",
    ("relay", "coil_earth"): "earth",
    ("fuse_box", "feed"): "feed",
    ("connector", "loom"): "loom",
    ("connector", "mates"): "connector",
    ("connector", "zone"): "zone",
    ("pin", "feed"): "feed",
    ("pin", "earth"): "earth",
    ("pin", "along"): "run",
    ("extension", "along"): "run",
    ("fuse_box", "row_feed"): "feed",
    ("leg", "condition"): "condition",
    ("reading", "condition"): "condition",
}
"""Which key of which kind of part names a part of which kind. Checked in `reference_problems`, followed by renaming."""

_BY_KIND: dict[str, list[tuple[str, str]]] = {}
TARGETS = {key: target for (_, key), target in REFERENCES.items()}
"""Which key names a part of which table; a key means the same in every part."""
for (_kind, _key), _target in REFERENCES.items():
    _BY_KIND.setdefault(_kind, []).append((_key, _target))

ENTRIES = ("zone", "run", "feed", "earth", "circuit", "loom", "connector", "condition", "fuse_box", "trip")
"""Tables of the file that hold named parts."""
SINGLE = ("vehicle", "battery", "alternator", "stock")
"""Parts there is only one of, each with a form of its own, whether the plan has it yet or not."""
_NAMED_INSIDE = ("position", "pin")
"""Tables of a part that hold named parts of their own."""
_WIRES = ("wire", "earth_wire", "cable", "wire_86", "wire_85")
_WORDS = {"signed": "signature", "second_battery": "second battery",
          "start": "supply end", "end": "far end", "other_end": "other end", "wire": "wire segment",
          "earth_wire": "earth wire segment", "cable": "alternator cable segment",
          "wire_86": "segment of the coil wire to 86", "wire_85": "segment of the coil wire from 85"}


def form_root(path: Path) -> Path:
    """The part whose form has the field under a path: a named part, one pin of a connector, or what there is only one
    of."""
    if path[0] == "connector" and len(path) > 3 and path[2] == "pin":
        return path[:4]
    return path[:2] if path[0] in ENTRIES else path[:1]


def part_kind_words(kind: str) -> str:
    """What a part of a kind is called: ``earth point``, ``fuse box``."""
    return "earth point" if kind == "earth" else kind.replace("_", " ")


def a_part(kind: str) -> str:
    """The same with its article: ``an earth point``."""
    words = part_kind_words(kind)
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def place(path: Path) -> str:
    """Name in words the part a path leads to: ``load 2 of circuit 'fuel_pump'``."""
    if not path:
        return "the plan"
    head = str(path[0])
    if head in ENTRIES and len(path) > 1:
        words, rest = f"{part_kind_words(head)} '{clean(path[1])}'", path[2:]
    elif len(path) > 1 and isinstance(path[1], int):
        words, rest = f"{_WORDS.get(head, clean(head))} {path[1] + 1}", path[2:]
    else:
        words, rest = clean(head), path[1:]
    index = 0
    while index < len(rest):
        step = clean(_WORDS.get(str(rest[index]), rest[index]))
        following = rest[index + 1] if index + 1 < len(rest) else None
        if isinstance(following, int):
            step, index = f"{step} {following + 1}", index + 1
        elif step in _NAMED_INSIDE and following is not None:
            step, index = f"{step} {clean(following)}", index + 1
        words, index = f"{step} of {words}", index + 1
    return words


_MOST_COMPARED = 1000
"""Comparing is slow; of more names only those that begin alike and are about as long are compared."""


def accepted(word: object, known: Iterable[str], short: int = 8) -> str:
    """What would be accepted instead of a word: the nearest known one, or all of them when they are few.

    One with other figures is another thing, not a misspelling: a relay of 40 A is not one of 50 A.
    """
    import difflib

    names = [str(name) for name in known]
    compared = names
    if len(names) > _MOST_COMPARED:
        alike = (name for name in names if name[:1] == str(word)[:1] and abs(len(name) - len(str(word))) <= 2)
        compared = [*islice(alike, _MOST_COMPARED)]
    # Compared as they are shown: what is spelled out counts no more than what a reader sees.
    near = [each for each in difflib.get_close_matches(clean(word), [clean(each) for each in compared], n=8)
            if _figures(each) == _figures(clean(word))]
    if near:
        return f"the nearest known is '{near[0]}'"
    if not names:
        return "none is known"
    if len(names) <= short:
        return "known: " + ", ".join(clean(name) for name in names)
    return f"{len(names)} are known, among them " + ", ".join(clean(name) for name in names[:short])


def _figures(word: str) -> list[str]:
    """The figures in a word; a letter O behind one is a nought."""
    return re.findall(r"\d+", re.sub(r"(?<=\d)[oO]", "0", word))


def as_table(value: object) -> dict[str, Any]:
    """A value as a table; an empty one where it is none."""
    return value if isinstance(value, dict) else {}


def as_list(value: object) -> list[Any]:
    """A value as a list; an empty one where it is none."""
    return value if isinstance(value, list) else []


def parts(data: Mapping[str, Any]) -> Iterator[Part]:
    """Every part of a plan that may name another part, in no promised order.

    Kinds: battery, alternator, the words of `ENTRIES`, load, segment, fuse, relay, second_battery, pin,
    extension, leg, reading, change.
    """
    for kind in ("battery", "alternator"):
        if isinstance(data.get(kind), dict):
            yield from _inside(kind, (kind,), data[kind])
    for kind in ENTRIES:
        for name, value in as_table(data.get(kind)).items():
            if isinstance(value, dict):
                yield from _inside(kind, (kind, name), value)
    for kind in ("reading", "change"):
        for index, value in enumerate(as_list(data.get(kind))):
            if isinstance(value, dict):
                yield kind, (kind, index), value


def _inside(kind: str, path: Path, value: dict[str, Any]) -> Iterator[Part]:
    yield kind, path, value
    for key in _WIRES:
        if key in value:
            for index, segment in enumerate(as_list(value[key])):
                if isinstance(segment, dict):
                    yield "segment", (*path, key, index), segment
    for key in ("fuse", "relay", "second_battery"):
        if key in value and isinstance(value[key], dict):
            yield from _inside(key, (*path, key), value[key])
    if kind == "connector":
        for name, pin in as_table(value.get("pin")).items():
            if isinstance(pin, dict):
                yield "pin", (*path, "pin", name), pin
                if isinstance(pin.get("extension"), dict):
                    yield "extension", (*path, "pin", name, "extension"), pin["extension"]
    inner = {"circuit": "load", "trip": "leg"}.get(kind)
    if inner:
        for index, item in enumerate(as_list(value.get(inner))):
            if isinstance(item, dict):
                yield from _inside(inner, (*path, inner, index), item)


def names_in(data: Mapping[str, Any]) -> Iterator[tuple[Path, str, str]]:
    """Every place that names another part: path, name, and the kind of part it names."""
    for kind, path, part in parts(data):
        for key, target in _BY_KIND.get(kind, ()):
            value = part.get(key)
            if isinstance(value, str):
                if (kind, key) != ("reading", "condition") or value not in READING_CONDITIONS:
                    yield (*path, key), value, target
            elif isinstance(value, list):
                for index, name in enumerate(value):
                    if isinstance(name, str):
                        yield (*path, key, index), name, target


def kind_named_at(path: Path) -> str | None:
    """The kind of part that is named where a path leads to; None where none is."""
    value: Any = ""
    for step in reversed(path):
        value = [value] if isinstance(step, int) else {step: value}
    return next((target for _, _, target in names_in(value)), None)


def ends_naming(data: Mapping[str, Any], connector: str) -> Iterator[Path]:
    """Every end of a wire that names a connector."""
    for kind, path, part in parts(data):
        yield from ((*where, "connector") for where, end in ends_in(kind, path, part)
                    if end.get("connector") == connector)
