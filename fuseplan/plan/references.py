"""Whether a plan holds together: every name leads somewhere, both trees have one root, runs join end to end.

Works on the plain dict of the file, so that it still finds what it can when the models refuse the file.
"""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import Any

from fuseplan.plan.conditions import built_in
from fuseplan.plan.contradictions import contradictions
from fuseplan.plan.pins import ends_in, pin_problems
from fuseplan.plan.words import READING_CONDITIONS, WHEN_ALWAYS
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
    ("fuse_box", "feed"): "feed",
    ("connector", "loom"): "loom",
    ("connector", "mates"): "connector",
    ("connector", "zone"): "zone",
    ("pin", "feed"): "feed",
    ("pin", "earth"): "earth",
    ("fuse_box", "row_feed"): "feed",
    ("leg", "condition"): "condition",
    ("reading", "condition"): "condition",
}
"""Which key of which kind of part names a part of which kind. Checked here, followed by renaming."""

_BY_KIND: dict[str, list[tuple[str, str]]] = {}
for (_kind, _key), _target in REFERENCES.items():
    _BY_KIND.setdefault(_kind, []).append((_key, _target))

EXCLUDING: dict[str, frozenset[str]] = {"along": frozenset({"length", "zone"}), "power": frozenset({"current"})}
"""Keys that cannot stand beside which others in one table."""
_BRANCHES = {("feed", "from"), ("earth", "to")}
"""Kinds of part and the key by which each hangs on another of its kind: the two trees."""
ENTRIES = ("zone", "run", "feed", "earth", "circuit", "loom", "connector", "condition", "fuse_box", "trip")
"""Tables of the file that hold named parts."""
_NAMED_INSIDE = ("position", "pin")
"""Tables of a part that hold named parts of their own."""
_WIRES = ("wire", "earth_wire", "cable")
_WORDS = {"fuse_box": "fuse box", "leg": "leg", "load": "load", "reading": "reading",
          "signed": "signature", "change": "change",
          "start": "supply end", "end": "far end", "other_end": "other end", "wire": "wire segment",
          "earth_wire": "earth wire segment", "cable": "alternator cable segment"}


def form_root(path: Path) -> Path:
    """The part whose form has the field under a path: a named part, one pin of a connector, or what there is only one
    of."""
    if path[0] == "connector" and len(path) > 3 and path[2] == "pin":
        return path[:4]
    return path[:2] if path[0] in ENTRIES else path[:1]


def place(path: Path) -> str:
    """Name in words the part a path leads to: ``load 2 of circuit 'fuel_pump'``."""
    if not path:
        return "the plan"
    head = str(path[0])
    if head in ENTRIES and len(path) > 1:
        words, rest = f"{_WORDS.get(head, head)} '{clean(path[1])}'", path[2:]
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
    """What would be accepted instead of a word: the nearest known one, or all of them when they are few."""
    names = [str(name) for name in known]
    compared = names
    if len(names) > _MOST_COMPARED:
        alike = (name for name in names if name[:1] == str(word)[:1] and abs(len(name) - len(str(word))) <= 2)
        compared = [*islice(alike, _MOST_COMPARED)]
    # Compared as they are shown: what is spelled out counts no more than what a reader sees.
    near = difflib.get_close_matches(clean(word), [clean(each) for each in compared], n=1)
    if near:
        return f"the nearest known is '{near[0]}'"
    if not names:
        return "none is known"
    if len(names) <= short:
        return "known: " + ", ".join(clean(name) for name in names)
    return f"{len(names)} are known, among them " + ", ".join(clean(name) for name in names[:short])


def _table(value: object) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []


def parts(data: Mapping[str, Any]) -> Iterator[Part]:
    """Every part of a plan that may name another part, in no promised order.

    Kinds: battery, alternator, the words of `ENTRIES`, load, segment, fuse, relay, pin, leg, reading, change.
    """
    for kind in ("battery", "alternator"):
        if isinstance(data.get(kind), dict):
            yield from _inside(kind, (kind,), data[kind])
    for kind in ENTRIES:
        for name, value in _table(data.get(kind)).items():
            if isinstance(value, dict):
                yield from _inside(kind, (kind, name), value)
    for kind in ("reading", "change"):
        for index, value in enumerate(_list(data.get(kind))):
            if isinstance(value, dict):
                yield kind, (kind, index), value


def _inside(kind: str, path: Path, value: dict[str, Any]) -> Iterator[Part]:
    yield kind, path, value
    for key in _WIRES:
        for index, segment in enumerate(_list(value.get(key))):
            if isinstance(segment, dict):
                yield "segment", (*path, key, index), segment
    for key in ("fuse", "relay"):
        if isinstance(value.get(key), dict):
            yield key, (*path, key), value[key]
    if kind == "connector":
        for name, pin in _table(value.get("pin")).items():
            if isinstance(pin, dict):
                yield "pin", (*path, "pin", name), pin
    inner = {"circuit": "load", "trip": "leg"}.get(kind)
    if inner:
        for index, item in enumerate(_list(value.get(inner))):
            if isinstance(item, dict):
                yield from _inside(inner, (*path, inner, index), item)


def _named(kind: str, data: Mapping[str, Any]) -> dict[str, Any]:
    own = _table(data.get(kind))
    return {**built_in(), **own} if kind == "condition" else own


def reference_problems(data: Mapping[str, Any], within: Mapping[str, Any] | None = None,
                       most: int | None = None) -> list[tuple[Path, str]]:
    """Everything that does not hold together.

    Parameters
    ----------
    data : mapping
        The file as plain dicts and lists; values of wrong types are passed over, the models report them.
    within : mapping, optional
        The parts of it that are looked at; left out, all are.
    most : int, optional
        How many problems at most; left out: all.

    Returns
    -------
    list of (path, message)
        Each message says what is wrong and what is accepted.
    """
    return list(islice(_reference_problems(data, within), most))


def _reference_problems(data: Mapping[str, Any], within: Mapping[str, Any] | None) -> Iterator[tuple[Path, str]]:
    known = {kind: _named(kind, data) for kind in set(REFERENCES.values())}
    yield from _part_problems(data, within)
    for path, name, target in names_in(data if within is None else within):
        if name not in known[target]:
            owner = path[:-2] if isinstance(path[-1], int) else path[:-1]
            article = "an" if target == "earth" else "a"
            yield path, (f"{place(owner)}: `{path[len(owner)]}` names '{clean(name)}', which is not "
                         f"{article} {target} of this plan; {accepted(name, fitting(data, path, known[target]))}")
    for name in READING_CONDITIONS:
        if name in _table((data if within is None else within).get("condition")):
            yield ("condition", name), (f"condition '{name}' has a name that readings use for a condition of their "
                                        "own; accepted is any other name")
    for kind, key in (("feed", "from"), ("earth", "to")):
        if within is None or kind in within:
            yield from _tree_problems(kind, key, known[kind])


def fitting(data: Mapping[str, Any], path: Path, known: Mapping[str, Any]) -> list[str]:
    """The names of which none would be refused in its turn where a path leads to."""
    if len(path) == 3 and path[::2] in _BRANCHES:
        return [name for name in known if not _leads_to(known, str(path[2]), name, path[1])]
    if len(path) > 2 and path[-2] == "along":
        along: Any = data
        for step in path[:-1]:
            along = along[step]
        beside = [_ends(known, along[index]) for index in (int(path[-1]) - 1, int(path[-1]) + 1)
                  if 0 <= index < len(along) and along[index] in known]
        return [name for name in known if all(_ends(known, name) & each for each in beside)]
    return list(known)


def _leads_to(nodes: Mapping[str, Any], key: str, start: str, goal: object) -> bool:
    """Whether a node is another, or lies somewhere behind it."""
    seen: set[Any] = set()
    here: Any = start
    while isinstance(here, str) and here not in seen:
        if here == goal:
            return True
        seen.add(here)
        here = _table(nodes.get(here)).get(key)
    return False


def _ends(runs: Mapping[str, Any], name: str) -> set[Any]:
    run = _table(runs.get(name))
    return {end for end in (run.get("from"), run.get("to")) if isinstance(end, str)}


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


def ends_naming(data: Mapping[str, Any], connector: str) -> Iterator[Path]:
    """Every end of a wire that names a connector."""
    for kind, path, part in parts(data):
        yield from ((*where, "connector") for where, end in ends_in(kind, path, part)
                    if end.get("connector") == connector)


def part_problems(data: Mapping[str, Any], most: int | None = None) -> list[tuple[Path, str]]:
    """What is wrong within single parts, whatever the rest of the plan holds; so many at most."""
    return list(islice(_part_problems(data, None), most))


def _part_problems(data: Mapping[str, Any], within: Mapping[str, Any] | None) -> Iterator[tuple[Path, str]]:
    runs, words = _table(data.get("run")), _condition_words(data)
    sizes: Counter[str] = Counter()
    for kind, path, part in parts(data if within is None else within):
        group = part.get("either") if kind == "load" else None
        if isinstance(group, str):
            sizes = sizes or Counter(_groups(data))
            if sizes[group] > MOST_ALTERNATIVES:
                yield (*path, "either"), (
                    f"{place(path)}: {sizes[group]} loads are in the group '{clean(group)}', of which one is on at a "
                    f"time; accepted are up to {MOST_ALTERNATIVES}")
                sizes[group] = 0
        yield from (((*path, key), f"{place(path)}: {words}") for key, words in contradictions(kind, part))
        if kind == "segment" and "along" in part:
            yield from _along_problems(path, part, runs)
        elif kind == "load":
            yield from _load_problems(path, part, words)
        elif kind == "circuit":
            yield from _state_problems(path, part)
        for beyond, wrong in pin_problems(kind, path, part, data):
            yield beyond, f"{place(beyond[:-1])}: {wrong}"


MOST_ALTERNATIVES = 24
"""Loads of one group: the network is solved with each of them on in turn."""


def _groups(data: Mapping[str, Any]) -> Iterator[str]:
    """The group of every load that has one."""
    for kind, _, part in parts(data):
        if kind == "load" and isinstance(part.get("either"), str):
            yield part["either"]


def _condition_words(data: Mapping[str, Any]) -> set[str]:
    words = {WHEN_ALWAYS}
    for condition in built_in().values():
        words.update(condition.when)
    for own in _table(data.get("condition")).values():
        words.update(word for word in _list(_table(own).get("when")) if isinstance(word, str))
    return words


def _along_problems(path: Path, segment: dict[str, Any], runs: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    for key in sorted(EXCLUDING["along"]):
        if key in segment:
            yield (*path, key), (
                f"{place(path)} has both `along` and `{key}`; accepted is one of the two: "
                "laid along runs, a segment takes its length and zones from them"
            )
    along = segment["along"]
    if along == []:
        yield (*path, "along"), f"{place(path)}: `along` names no run; accepted is at least one run, or `length`"
    reached: set[Any] = set()
    before = ""
    for index, name in enumerate(_list(along)):
        run = _table(runs.get(name)) if isinstance(name, str) else {}
        start, end = run.get("from"), run.get("to")
        if not isinstance(start, str) or not isinstance(end, str):
            return
        ahead = {far for near, far in ((start, end), (end, start)) if index == 0 or near in reached}
        if not ahead:
            yield (*path, "along", index), (
                f"{place(path)}: run '{clean(name)}' ({clean(start)} to {clean(end)}) does not join run "
                f"'{clean(before)}', which ends at {' or '.join(sorted(map(clean, reached)))}; "
                "accepted are runs that join end to end"
            )
            return
        reached, before = ahead, name


def _load_problems(path: Path, load: dict[str, Any], words: set[str]) -> Iterator[tuple[Path, str]]:
    if "current" in load and "power" in load:
        yield (*path, "power"), f"{place(path)} has both `current` and `power`; accepted is one of the two"
    for index, word in enumerate(_list(load.get("when"))):
        if isinstance(word, str) and word not in words:
            yield (*path, "when", index), (
                f"{place(path)}: no condition lists the word '{clean(word)}'; {accepted(word, sorted(words), 20)}"
            )


def _state_problems(path: Path, circuit: dict[str, Any]) -> Iterator[tuple[Path, str]]:
    must_run = [state for state in _list(circuit.get("must_run")) if isinstance(state, str)]
    for index, state in enumerate(_list(circuit.get("must_stop"))):
        if isinstance(state, str) and state in must_run:
            yield (*path, "must_stop", index), (
                f"{place(path)}: '{clean(state)}' is in both `must_run` and `must_stop`; accepted is one of the two"
            )


def _tree_problems(kind: str, key: str, nodes: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """One root, and every other node leads to it without going round in a circle."""
    tables = {name: node for name, node in nodes.items() if isinstance(node, dict)}
    if not tables:
        return
    roots = [name for name, node in tables.items() if key not in node]
    if not roots:
        yield (kind, next(iter(tables))), (
            f"no {kind} is the root: every one has `{key}`; accepted is exactly one {kind} without `{key}`, "
            f"the battery's {'positive' if kind == 'feed' else 'negative'} post"
        )
    for name in roots[1:]:
        yield (kind, name), (
            f"two roots: {kind} '{clean(name)}' has no `{key}`, and neither has {kind} '{clean(roots[0])}'; "
            f"accepted is exactly one {kind} without `{key}`"
        )
    done: set[str] = set()
    for name in tables:
        trail: dict[str, None] = {}
        here: Any = name
        while isinstance(here, str) and here in tables and here not in done and here not in trail:
            trail[here] = None
            here = tables[here].get(key)
        if isinstance(here, str) and here in trail:
            ring = list(trail)[list(trail).index(here):]
            yield (kind, here, key), (
                f"{kind}s go round in a circle: {' → '.join(clean(step) for step in [*ring, here])}; "
                f"accepted is a tree: each leads to the root by `{key}`"
            )
        done.update(trail)
