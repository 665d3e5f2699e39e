"""Whether a plan holds together: every name leads somewhere, both trees have one root, runs join end to end.

Works on the plain dict of the file, so that it still finds what it can when the models refuse the file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Any

from fuseplan.plan.conditions import built_in
from fuseplan.plan.contradictions import contradictions
from fuseplan.plan.pins import pin_problems
from fuseplan.plan.references import (
    REFERENCES,
    Path,
    a_part,
    accepted,
    as_list,
    as_table,
    names_in,
    part_kind_words,
    parts,
    place,
)
from fuseplan.plan.words import READING_CONDITIONS, WHEN_ALWAYS
from fuseplan.quantities.amounts import clean

EXCLUDING: dict[str, frozenset[str]] = {"along": frozenset({"length", "zone"}), "power": frozenset({"current"})}
"""Keys that cannot stand beside which others in one table."""
_BRANCHES = {("feed", "from"), ("earth", "to")}
"""Kinds of part and the key by which each hangs on another of its kind: the two trees."""


def _named(kind: str, data: Mapping[str, Any]) -> dict[str, Any]:
    own = as_table(data.get(kind))
    return {**built_in(), **own} if kind == "condition" else own


def reference_problems(data: Mapping[str, Any], within: Mapping[str, Any] | None = None,
                       most: int | None = None) -> list[tuple[Path, str]]:
    """Everything that does not hold together.

    Args:
        data: the file as plain dicts and lists; values of wrong types are passed over, the models report them
        within: the parts of it that are looked at; left out, all are
        most: how many problems at most; left out: all
    Returns:
        list of (path, message). Each message says what is wrong and what is accepted.
    """
    return list(islice(_reference_problems(data, within), most))


def _reference_problems(data: Mapping[str, Any], within: Mapping[str, Any] | None) -> Iterator[tuple[Path, str]]:
    known = {kind: _named(kind, data) for kind in set(REFERENCES.values())}
    yield from _part_problems(data, within)
    for path, name, target in names_in(data if within is None else within):
        if name not in known[target]:
            owner = path[:-2] if isinstance(path[-1], int) else path[:-1]
            can_be = fitting(data, path, known[target])
            instead = accepted(name, can_be) if can_be else f"accepted is {a_part(target)} that " + (
                "can be named here, and the plan has none" if known[target] else "the plan has, and it has none yet")
            yield path, (f"{place(owner)}: `{path[len(owner)]}` names '{clean(name)}', which is not "
                         f"{a_part(target)} of this plan; {instead}")
    for name in READING_CONDITIONS:
        if name in as_table((data if within is None else within).get("condition")):
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
        here = as_table(nodes.get(here)).get(key)
    return False


def _ends(runs: Mapping[str, Any], name: str) -> set[Any]:
    run = as_table(runs.get(name))
    return {end for end in (run.get("from"), run.get("to")) if isinstance(end, str)}


def part_problems(data: Mapping[str, Any], most: int | None = None) -> list[tuple[Path, str]]:
    """What is wrong within single parts, whatever the rest of the plan holds; so many at most."""
    return list(islice(_part_problems(data, None), most))


def _part_problems(data: Mapping[str, Any], within: Mapping[str, Any] | None) -> Iterator[tuple[Path, str]]:
    runs, words = as_table(data.get("run")), _condition_words(data)
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
        if kind in ("segment", "pin", "extension") and "along" in part:
            if kind == "segment" and path[0] != "loom":
                yield from _excluded(path, part)
            yield from _along_problems(path, part, runs)
        if kind == "load":
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
    for own in as_table(data.get("condition")).values():
        words.update(word for word in as_list(as_table(own).get("when")) if isinstance(word, str))
    return words


def _excluded(path: Path, segment: dict[str, Any]) -> Iterator[tuple[Path, str]]:
    """Lengths and zones of segments that take them from their runs; a wire of a loom in no circuit has both, as found.
    """
    for key in sorted(EXCLUDING["along"]):
        if key in segment:
            yield (*path, key), (
                f"{place(path)} has both `along` and `{key}`; accepted is one of the two: "
                "laid along runs, a segment takes its length and zones from them"
            )


def _along_problems(path: Path, segment: dict[str, Any], runs: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    along = segment["along"]
    if along == []:
        yield (*path, "along"), f"{place(path)}: `along` names no run; accepted is at least one run, or `length`"
    reached: set[Any] = set()
    before = ""
    for index, name in enumerate(as_list(along)):
        run = as_table(runs.get(name)) if isinstance(name, str) else {}
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
    for index, word in enumerate(as_list(load.get("when"))):
        if isinstance(word, str) and word not in words:
            yield (*path, "when", index), (
                f"{place(path)}: no condition lists the word '{clean(word)}'; {accepted(word, sorted(words), 20)}"
            )


def _state_problems(path: Path, circuit: dict[str, Any]) -> Iterator[tuple[Path, str]]:
    must_run = [state for state in as_list(circuit.get("must_run")) if isinstance(state, str)]
    for index, state in enumerate(as_list(circuit.get("must_stop"))):
        if isinstance(state, str) and state in must_run:
            yield (*path, "must_stop", index), (
                f"{place(path)}: '{clean(state)}' is in both `must_run` and `must_stop`; accepted is one of the two"
            )


def _tree_problems(kind: str, key: str, nodes: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """One root, and every other node leads to it without going round in a circle."""
    tables = {name: node for name, node in nodes.items() if isinstance(node, dict)}
    if not tables:
        return
    words = part_kind_words(kind)
    roots = [name for name, node in tables.items() if key not in node]
    if not roots:
        yield (kind, next(iter(tables))), (
            f"no {words} is the root: every one has `{key}`; accepted is exactly one {words} without `{key}`, "
            f"the battery's {'positive' if kind == 'feed' else 'negative'} post"
        )
    for name in roots[1:]:
        yield (kind, name), (
            f"two roots: {words} '{clean(name)}' has no `{key}`, and neither has {words} '{clean(roots[0])}'; "
            f"accepted is exactly one {words} without `{key}`"
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
                f"{words}s go round in a circle: {' → '.join(clean(step) for step in [*ring, here])}; "
                f"accepted is a tree: each leads to the root by `{key}`"
            )
        done.update(trail)
