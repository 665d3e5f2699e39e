"""After an edit of a few circuits: the network of the plan before, with the rows of these circuits written anew.

Two plans of these circuits alone, with the feeds and earths on their ways, are compiled: as they were, and as they are.
Where nothing but figures differs between them, and the first stands row by row in the network before, the second is
what compiling the whole plan would have written there. In every other case the whole plan is compiled.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, replace
from typing import Any

import numpy as np

from fuseplan.array_types import Ints
from fuseplan.engine.ambient import Places
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.consumers import Consumers
from fuseplan.engine.equality import equal
from fuseplan.engine.network import Network, Rows
from fuseplan.engine.noting import carried_over
from fuseplan.engine.segments import Segments
from fuseplan.engine.starting_together import same_starts
from fuseplan.plan.model import Circuit, Plan

MOST_CHANGED = 8
"""With more circuits changed the whole plan is compiled."""

_FIGURES: dict[str, dict[str, tuple[str, ...]]] = {
    "": {
        "supply": ("supply_given", "supply_taken", "supply_known"),
        "return": ("returns_given", "returns_taken", "returns_known"),
    },
    "segments": {
        "segment": ("segment", "insulation", "rated", "r20_ohm", "r20_known", "r20_ohm_per_m", "length_m", "area_mm2",
                    "diameter_mm", "base_a", "max_c", "ambient_c"),
        "pair": ("pair_factor", "pair_run", "pair_table_a", "pair_single_a", "pair_base_a", "pair_left",
                 "pair_ambient_c"),
    },
    "consumers": {
        "consumer": ("load_kind", "reference_a", "reference_v", "exponent", "locked_ohm", "heating", "lower", "upper",
                     "most_a", "unstated", "use", "duty", "inrush_given", "inrush", "inrush_s", "inrush_assumed",
                     "guessed"),
    },
}
"""What an edit may change without another shape, by the part of the network it is in ("" for itself) and its rows."""
OF_THE_SHAPE = ("allowed", "box_feeds", "box_places", "box_seats", "circuit_number", "coils_wired", "condition_of_row",
                "goes_on_from", "guarded_by_others", "load_consumers", "segments_of", "segments_of_part", "stock")
"""What a network works out once from its shape, and from the plan without its circuits."""
OF_THE_STARTS = ("overlaps", "feed_fuses", "shared_starts")
OF_THE_USE = ("counted", "on_together")
OF_THE_FUSES = ("entered_a", "fuse_kinds", "fuses_by_kind", "holder_c", "seated")
_OF_THE_WHOLE = ("plan", "places", "circuits", "fuses", "missing")
"""What is written anew otherwise. All other fields of the network are its shape."""


def patched(before: Network, plan: Plan, compiled: Callable[[Plan], Network]) -> Network | None:
    """The network of a plan, from that of the plan before; None where the whole plan has to be compiled, which
    `compiled` does."""
    names = _changed(before.plan, plan)
    if names is None:
        return None
    if not names:
        return before if plan is before.plan else None
    # Who types in a form edits the same circuits again: their rows were written from the network of them alone.
    old, rows = before.alone.get(tuple(names)) or _standing_in(before, compiled(_alone(before.plan, names)), names)
    new = compiled(_alone(plan, names))
    if rows is None or not _same_shape(old, new) or not _same_choice(before, old, new, rows["consumer"][0]):
        return None
    found = _written(before, plan, new, rows)
    _take_over(before, found, names, rows)
    found.alone[tuple(names)] = (new, rows)
    return found


def _standing_in(whole: Network, alone: Network, names: Iterable[str]) -> tuple[Network, Rows | None]:
    """The network of circuits alone, and where its rows stand in that of the whole plan; None where they do not."""
    rows = _rows(whole, alone, names)
    return alone, rows if rows is not None and _stands_in(whole, alone, rows) else None


def _changed(before: Plan, after: Plan) -> list[str] | None:
    """The circuits that differ, all else being the same; None where anything else differs, or too much."""
    for key in type(after).model_fields:
        if key != "circuit" and not _same(getattr(before, key), getattr(after, key)):
            return None
    if before.circuit.keys() != after.circuit.keys() or list(before.circuit) != list(after.circuit):
        return None
    differing = [name for (name, old), new in zip(before.circuit.items(), after.circuit.values(), strict=True)
                 if old is not new]
    return differing if len(differing) <= MOST_CHANGED else None


def _same(before: Any, after: Any) -> bool:
    """Whether two entries of a plan are one and the same, or hold the very same ones: what an edit did not touch is
    taken over as it is."""
    if isinstance(before, dict):
        return list(before) == list(after) and all(value is after[key] for key, value in before.items())
    return before is after


def _alone(plan: Plan, names: Iterable[str]) -> Plan:
    """The plan with these circuits alone, and the feeds and earths they rest on."""
    circuits = {name: plan.circuit[name] for name in names}
    feeds = _with_upstream(plan.feed, (name for circuit in circuits.values() for name in _feeds_of(circuit)))
    earths = _with_upstream(plan.earth, (name for circuit in circuits.values() for name in _earths_of(circuit)))
    return plan.model_copy(update={
        "circuit": circuits, "alternator": None,
        "feed": {name: feed for name, feed in plan.feed.items() if name in feeds},
        "earth": {name: earth for name, earth in plan.earth.items() if name in earths}})


def _feeds_of(circuit: Circuit) -> Iterator[str | None]:
    yield circuit.feed
    if circuit.relay is not None:
        yield circuit.relay.coil_feed


def _earths_of(circuit: Circuit) -> Iterator[str | None]:
    yield circuit.earth
    yield from (load.earth for load in circuit.load)
    if circuit.relay is not None:
        yield circuit.relay.coil_earth


def _with_upstream(nodes: Any, wanted: Iterable[str | None]) -> set[str]:
    """The nodes wanted, all that they come from or whose state decides theirs, and the root."""
    ahead = [*wanted, next((name for name, node in nodes.items() if node.upstream is None), None)]
    found: set[str] = set()
    while ahead:
        name = ahead.pop()
        if name is None or name in found or name not in nodes:
            continue
        found.add(name)
        relay = getattr(nodes[name], "relay", None)
        ahead += [nodes[name].upstream, None if relay is None else relay.coil_feed]
    return found


def _parts(network: Network) -> Iterator[tuple[str, Any, dict[str, tuple[str, ...]]]]:
    for part, figures in _FIGURES.items():
        yield part, getattr(network, part) if part else network, figures


def _same_shape(old: Network, new: Network) -> bool:
    """Whether nothing differs but what `_written` writes."""
    if [row.owner for row in old.fuses] != [row.owner for row in new.fuses] or old.missing.keys() != new.missing.keys():
        return False
    for (part, first, figures), (_, second, _) in zip(_parts(old), _parts(new), strict=True):
        left_out = {name for names in figures.values() for name in names} | (
            {*_OF_THE_WHOLE, "segments", "consumers"} if not part else set())
        if not all(equal(getattr(first, each.name), getattr(second, each.name))
                   for each in fields(first) if each.name not in left_out):
            return False
    return True


def _same_choice(whole: Network, old: Network, new: Network, here: Ints) -> bool:
    """Whether which member of an `either` group is on can be told from the circuits alone: no current in a group
    differs, or no other circuit has a member of it."""
    group = old.consumers.group >= 0
    if np.array_equal(old.consumers.reference_a[group], new.consumers.reference_a[group]):
        return True
    own = whole.consumers.group[here]
    members = np.flatnonzero(np.isin(whole.consumers.group, own[own >= 0]))
    return bool(np.isin(members, here).all())


def _rows(whole: Network, alone: Network, names: Iterable[str]) -> Rows | None:
    """Where the circuits' rows stand in both; None where they are not as many, or a branch of theirs is in none."""
    owners = {("circuit", name) for name in names}
    first, second = (_rows_in(network, owners) for network in (whole, alone))
    if any(first[what].shape != second[what].shape for what in first):
        return None
    others = np.ones(alone.segments.count, dtype=bool)
    others[second["segment"]] = False
    returns, branch = alone.segments.returns, alone.segments.branch
    # Coils of feeds have branches of their own, where they have wires.
    shared = {"supply": {*alone.feed_node.values(), *branch[others & ~returns].tolist()},
              "return": {*alone.earth_node.values(), *branch[others & returns].tolist()}}
    counts = {"supply": alone.supply.count, "return": alone.returns.count}
    if any(len(shared[what].union(second[what].tolist())) != counts[what] for what in counts):
        return None
    return {what: (first[what], second[what]) for what in first}


def _rows_in(network: Network, owners: set[tuple[str, str]]) -> dict[str, Ints]:
    segments, consumers = network.segments, network.consumers
    segment = np.array(sorted(place for owner in owners for place in network.segments_of_part.get(owner, ())),
                       dtype=np.int64)
    consumer = _places(consumers.owner, owners)
    fuse = _places([row.owner for row in network.fuses], owners)
    returns = segments.returns[segment]
    circuit = [network.circuit_number[name] for _, name in sorted(owners)]
    branch = segments.branch[segment]
    ends = consumers.return_node[consumer]
    earths = {*network.earth_node.values()}
    own_ends = np.array([node for node in ends.tolist() if node not in earths], dtype=np.int64)
    pairs = np.append(segments.first_pair, len(segments.pair_segment))
    pair = [np.arange(pairs[each], pairs[each + 1]) for each in segment.tolist()]
    return {
        "segment": segment, "consumer": consumer, "fuse": fuse,
        "pair": np.concatenate(pair) if pair else np.zeros(0, dtype=np.int64),
        "supply": np.concatenate([network.circuit_node[circuit], branch[~returns]]),
        "return": np.concatenate([branch[returns], own_ends]),
    }


def _places(of: list[tuple[str, str]], owners: set[tuple[str, str]]) -> Ints:
    return np.array([place for place, owner in enumerate(of) if owner in owners], dtype=np.int64)


def _stands_in(whole: Network, alone: Network, rows: Rows) -> bool:
    """Whether the network of the circuits alone says of each row what that of the whole plan says."""
    for (_, first, figures), (_, second, _) in zip(_parts(whole), _parts(alone), strict=True):
        for what, names in figures.items():
            here, there = rows[what]
            if not all(equal(_taken(getattr(first, name), here), _taken(getattr(second, name), there))
                       for name in names):
                return False
    whole_rows, alone_rows = ((of.segments, of.consumers, rows["segment"][which], rows["consumer"][which])
                              for which, of in enumerate((whole, alone)))
    return equal(_identity(*whole_rows), _identity(*alone_rows)) and all(
        equal(whole.missing.get(name), alone.missing.get(name)) for name in alone.circuit_ids)


def _identity(segments: Segments, consumers: Consumers, segment: Ints, consumer: Ints) -> list[Any]:
    """What rows are of, and when they are on."""
    return [_taken(segments.owner, segment), _taken(segments.place, segment), segments.returns[segment],
            _taken(consumers.owner, consumer), consumers.kind[consumer], consumers.number[consumer],
            consumers.wanted[:, consumer], consumers.possible[:, consumer], consumers.on[:, consumer]]


def _taken(values: Any, places: Ints) -> Any:
    return values[places] if isinstance(values, np.ndarray) else [values[place] for place in places.tolist()]


def _written(whole: Network, plan: Plan, alone: Network, rows: Rows) -> Network:
    """The network of the whole plan with the rows of the circuits as they are alone."""
    parts: dict[str, dict[str, Any]] = {}
    for (part, of_whole, figures), (_, of_these, _) in zip(_parts(whole), _parts(alone), strict=True):
        parts[part] = {name: _with_rows(getattr(of_whole, name), getattr(of_these, name), *rows[what])
                       for what, names in figures.items() for name in names}
    fuses: list[FuseRow] = list(whole.fuses)
    for place, row in zip(rows["fuse"][0].tolist(), _taken(alone.fuses, rows["fuse"][1]), strict=True):
        fuses[place] = row
    return replace(
        whole, plan=plan, places=Places(plan), circuits=tuple(plan.circuit.values()), fuses=tuple(fuses),
        missing={name: alone.missing.get(name, lacking) for name, lacking in whole.missing.items()},
        segments=replace(whole.segments, **parts["segments"]),
        consumers=replace(whole.consumers, **parts["consumers"]), **parts[""])


def _take_over(before: Network, after: Network, names: list[str], rows: Rows) -> None:
    """Give a network what was worked out from the one before, as far as no change of these circuits, whose rows are
    given, has a part in it."""
    known, own = before.__dict__, after.__dict__
    same_fuses = all(before.fuses[place] == after.fuses[place] for place in rows["fuse"][0].tolist())
    same_use = np.array_equal(before.consumers.use, after.consumers.use)
    lasting = [*OF_THE_SHAPE, *(OF_THE_FUSES if same_fuses else ()), *(OF_THE_USE if same_use else ()),
               *(OF_THE_STARTS if same_starts(before, after, rows["consumer"][0]) else ())]
    own.update((name, known[name]) for name in lasting if name in known)
    # The contact of a circuit's relay switches that circuit alone; one of a feed the kinds of load that are behind it.
    kinds = all(_kinds(before, name) == _kinds(after, name) for name in names)
    own["contacts_seen"] = {key: each for key, each in before.contacts_seen.items()
                            if (key[1] not in names if key[0] == "circuit" else kinds)}
    own["notes"] = carried_over(before.notes, after, {
        "circuits": [after.circuit_number[name] for name in names], "fuses": rows["fuse"][0].tolist()})


def _kinds(network: Network, circuit: str) -> set[str | None]:
    return {load.kind for load in network.plan.circuit[circuit].load}


def _with_rows(values: Any, new: Any, here: Ints, there: Ints) -> Any:
    found = values.copy()
    if isinstance(found, np.ndarray):
        found[here] = new[there]
    else:
        for place, each in zip(here.tolist(), _taken(new, there), strict=True):
            found[place] = each
    return found
