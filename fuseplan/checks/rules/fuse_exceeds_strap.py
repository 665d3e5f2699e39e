"""The fuse of a circuit exceeds the ampacity of an earth strap that it returns by.

An overload that the fuse carries flows back through the strap too: a thin lead from an earth point to the body is an
earth wire that several circuits share.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import insulation_asked, insulation_first, size_that_carries, wire_fields
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.protected import FUSE_SOURCE
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, owner_words, segment_path, segment_subject, segment_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.noting import once
from fuseplan.engine.results import Results
from fuseplan.plan.roles import MAY_BE_UNFUSED
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult
from fuseplan.results.segment import SegmentResult


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, segments = results.network, results.network.segments
    sizes = sizes_for_fuses(results)
    for index, most, load in _too_thin(results):
        allowed = float(results.largest_fuse_a[index])
        row = network.fuses[int(network.guard[network.consumers.supply_node[load]])]
        fix = _fix(results, index, most, sizes[index])
        yield rule.finding(
            results, segment_subject(results, index),
            f"{owner_words(results, network.consumers.owner[load])} returns through {segment_words(results, index)}, "
            f"which is rated for {writing.LARGEST_FUSE(allowed)}; the fuse before it is {writing.rating(most)}",
            figure=most, limit=allowed, unit="A", source=results.limit_set.fuse.wire_source, part=segments.place[index],
            fix=fix._replace(fields=(*fix.fields, fuse_path(row, "rating"))))


@once
def _too_thin(results: Results) -> list[tuple[int, float, int]]:
    """Straps that the largest fuse behind them is too large for, each with that rating [A] and a load behind it."""
    network, tree = results.network, results.network.returns
    straps, rating_a = network.segments_of.get("earth", np.zeros(0, dtype=np.int64)), _fused_at(results)
    behind_each = [tree.order[tree.start[node]:tree.end[node]] for node in network.segments.branch[straps].tolist()]
    most_a = np.array([rating_a[behind].max(initial=0.0) for behind in behind_each])
    return [(int(straps[place]), float(most_a[place]), int(behind_each[place][rating_a[behind_each[place]].argmax()]))
            for place in np.flatnonzero(exceeds(most_a, results.largest_fuse_a[straps])).tolist()]


def sizes_for_fuses(results: Results) -> dict[int, str | None]:
    """The straps that are too thin for a fuse behind them, by number, each with the size for that; None where none on
    file is enough."""
    return {index: size_that_carries(results, index, most_a, fuse=True, fitted=insulation_asked(results, index))
            for index, most_a, _ in _too_thin(results)}


def _fused_at(results: Results) -> Floats:
    """Rating of the fuse that protects its circuit for each consumer, 0 where there is none, where it only guards
    against shorts or the circuit's role may go without one, and where wires of the circuit are too thin for it too,
    which is found there (L,) [A]."""
    network, fusing, consumers = results.network, results.fusing, results.network.consumers
    found, guard = np.zeros(consumers.count), network.guard[consumers.supply_node]
    guarded = np.flatnonzero((guard >= 0) & (consumers.circuit >= 0))
    members = guarded[~fusing.against_shorts[guard[guarded]]]
    found[members] = np.nan_to_num(fusing.rating_a[guard[members]])
    behind = network.guarded_by_others
    thin = behind[exceeds(fusing.rating_a[network.segment_guard[behind]], results.largest_fuse_a[behind])]
    circuits = [number for role in MAY_BE_UNFUSED for number in network.marked.get(f"role {role}", ())
                if network.circuits[number].role == role]
    circuits += [network.circuit_number[name] for kind, name in map(network.segments.owner.__getitem__, thin.tolist())
                if kind == "circuit"]
    found[np.isin(consumers.circuit, circuits)] = 0.0
    return found


def _fix(results: Results, index: int, rating_a: float, size: str | None) -> Fix:
    if size is None:
        return Fix(f"a second strap beside {segment_words(results, index)}, or smaller fuses",
                   wire_fields(results, index))
    size = asked_too(results, index, size)
    words = f"fit {results.network.stock.wire_words(size)} in place of {segment_words(results, index)}"
    first = insulation_first(results, index, rating_a, words, fuse=True)
    fields = wire_fields(results, index)
    return Fix(words, fields, ((segment_path(results, index, "size"), size),), ((index, size),)) if first == words \
        else Fix(first, fields, sizes=((index, size),) if words in first else ())


RULE = Rule(
    consequence="burns",
    title="Fuse rating exceeds earth strap",
    source=FUSE_SOURCE,
    caution="An overload that does not blow the fuse heats the strap too, often behind trim where nobody sees it.",
    fix="a thicker strap",
    example="fails: a 30 A fuse on a circuit earthed at a point with a strap of 1 mm²; passes: 6 mm²",
    find=find,
    ambient=True,
    figures=((FuseResult.rating_a, SegmentResult.ampacity_a),),
)
