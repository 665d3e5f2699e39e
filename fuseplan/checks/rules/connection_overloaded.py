"""A fuse holder, a terminal or a relay socket carries more than it is rated for.

Push-in holders and flat terminals heat at their contact. In practice they melt at 25 to 30 A without blowing the fuse.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.protected import unjudged
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.seats import carries_a, holder_for, holder_words, rating_to_hold
from fuseplan.checks.subjects import fuse_path, fuse_subject, segment_path, segment_subject, segment_words
from fuseplan.checks.terminals_on_wires import terminals_on_wires
from fuseplan.engine.intervals import CONTINUOUS
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_fuses
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult
from fuseplan.tables import terminals
from fuseplan.tables.fuses import kind_words
from fuseplan.tables.load import Cited


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, fusing, fitted = results.network, results.fusing, terminals.holders()
    for index, name in of_fuses(network, _holder, "fuse holder").items():
        row, holder = network.fuses[index], fitted.get(name)
        if holder is None:
            yield from unjudged(rule, results, index, f"what the holder '{name}' may carry: it is not on file")
        elif holder.fuse_kind != row.fuse.kind:
            yield rule.finding(
                results, fuse_subject(row), f"a {kind_words(row.fuse.kind)} does not fit a {holder.words}",
                source=holder.source.line(), fix=f"a holder made for {kind_words(row.fuse.kind)}s",
                fields=(fuse_path(row, "holder"), fuse_path(row, "kind")))
    for index, bound, load, limit in through_holders(results).judged(results).failing:
        row = network.fuses[index]
        holder = fitted[row.fuse.holder or ""]
        yield rule.finding(
            results, fuse_subject(row),
            f"{writing.burden(load, 'A')} continuous; the {holder.words} is rated for {writing.rating(limit)}: the "
            "holder's rating is the limit, not the wire", figure=load, limit=limit, unit="A", bound=bound,
            source=holder.source.line(), fix=_fix(results, index, load),
            fields=(fuse_path(row, "holder"), fuse_path(row, "kind")))
    for index, _, rating, most in fuses_in_holders(results).judged(results).failing:
        row = network.fuses[index]
        holder = fitted[row.fuse.holder or ""]
        yield rule.finding(
            results, fuse_subject(row),
            f"{writing.an(writing.rating(rating))} fuse in a {holder.words} for {writing.rating(most)} at most: the "
            "holder's rating is the limit, not the wire",
            figure=rating, limit=most, unit="A", source=holder.source.line(),
            fix=_fix(results, index, float(fusing.continuous_a[0, index])),
            fields=(fuse_path(row, "holder"), fuse_path(row, "rating")))
    yield from _at_terminals(rule, results)


def through_holders(results: Results) -> LimitRows:
    """The continuous load of each fuse, against what its holder carries; NaN for a holder that is not on file."""
    held = [(index, math.nan if holder is None else carries_a(holder)) for index, holder in _holders(results)]
    parts = np.array([index for index, _ in held], dtype=np.int64)
    nodes = results.network.fuse_node[parts]
    return rows_of(lambda: [fuse_subject(results.network.fuses[index]) for index, _ in held], parts,
                   np.array([limit for _, limit in held]), lambda figures: figures.demands.supply[:, CONTINUOUS, nodes])


def fuses_in_holders(results: Results) -> LimitRows:
    """The rating of each fuse, against the largest its holder takes."""
    held = [(index, holder.max_a) for index, holder in _holders(results)
            if holder is not None and holder.max_a is not None]
    parts = np.array([index for index, _ in held], dtype=np.int64)
    rating = results.fusing.rating_a[parts]
    return rows_of(lambda: [fuse_subject(results.network.fuses[index]) for index, _ in held], parts,
                   np.array([limit for _, limit in held]),
                   lambda figures: np.tile(rating, (len(figures.demands.load), 1)))


def through_terminals(results: Results) -> LimitRows:
    """What lasts on each wire with a terminal, against what that carries, NaN for one that is not on file; in the order
    of `terminals_on_wires`."""
    found = terminals_on_wires(results)
    rated = [_rated(results, index, terminal) for index, terminal, _ in found]
    wires = np.array([index for index, *_ in found], dtype=np.int64)
    return rows_of(lambda: [segment_subject(results, index) for index in wires.tolist()],
                   np.arange(len(found)), np.array([math.nan if each is None else each.value for each in rated]),
                   lambda figures: figures.demands.lasting[:, wires])


def _holders(results: Results) -> Iterator[tuple[int, terminals.Holder | None]]:
    """Devices in a holder that is made for them, None where it is not on file."""
    for index, name in of_fuses(results.network, _holder, "fuse holder").items():
        holder = terminals.holders().get(name)
        if holder is None or holder.fuse_kind == results.network.fuses[index].fuse.kind:
            yield index, holder


def _holder(network: Network, device: int) -> str | None:
    """What a device is held by; None where the plan does not say."""
    return network.fuses[device].fuse.holder


def _fix(results: Results, index: int, load_a: float) -> str:
    """The smallest holder on file rated for load and fuse, else the rule's own fix; a fuse too small for the load is no
    measure of it."""
    best = holder_for(results.network.fuse_kinds[index], rating_to_hold(results, index), load_a)
    if best is None:
        return RULE.fix
    return f"{holder_words(best)}, rated for {writing.rating(best.max_a)}; or {RULE.fix}"


def _rated(results: Results, index: int, terminal: str) -> Cited[float] | None:
    """What a terminal carries on a segment [A]; None where it is not on file."""
    area = float(results.network.segments.area_mm2[index])
    return terminals.terminal_limit_a(terminal, area) if terminal in terminals.TERMINALS else None


def _at_terminals(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    ends = terminals_on_wires(results)
    if not ends:
        return
    rows = through_terminals(results)
    for place in np.flatnonzero(np.isnan(rows.limit)).tolist():
        index, terminal, _ = ends[place]
        yield rule.unjudged(segment_subject(results, index), f"what the terminal '{terminal}' may carry on "
                            f"{segment_words(results, index)}: it is not on file")
    for place, bound, load, most in rows.judged(results).failing:
        index, terminal, path = ends[place]
        found = _rated(results, index, terminal)
        assert found is not None
        yield rule.finding(
            results, segment_subject(results, index),
            f"{writing.burden(load, 'A')} through a {terminals.TERMINALS[terminal]} on "
            f"{segment_words(results, index)}; rated for {writing.rating(most)}: the terminal's rating is the "
            "limit, not the wire", figure=load, limit=most, unit="A", bound=bound, source=found.source.line(),
            fix="a larger terminal, or a thicker wire in it where its limit is printed by wire, or two circuits",
            fields=(path, segment_path(results, index, "size")))


RULE = Rule(
    consequence="burns",
    title="Holder or terminal overloaded",
    source="holder and terminal data sheets",
    caution="A holder that feels warm is about to melt; a bigger fuse makes it worse.",
    fix="a bolt-in fuse or a holder of the next size, or two circuits",
    example="fails: 52 A continuous through a maxi in-line holder; passes: 35 A",
    find=find,
    limits=(through_holders, fuses_in_holders, through_terminals),
    figures=((FuseResult.rating_a, None),),
)
