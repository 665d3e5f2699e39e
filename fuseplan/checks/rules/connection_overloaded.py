"""A fuse holder, a terminal or a relay socket carries more than it is rated for.

Push-in holders and flat terminals heat at their contact. In practice they melt at 25 to 30 A without blowing the
fuse.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.protected import unjudged
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_path, segment_path, segment_subject, segment_words
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult
from fuseplan.tables import terminals
from fuseplan.tables.fuses import KINDS


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    held = [(index, row.fuse.holder) for index, row in enumerate(results.network.fuses) if row.fuse.holder is not None]
    for index, name in held:
        holder = terminals.holders().get(name)
        if holder is None:
            yield from unjudged(rule, results, index, f"what the holder '{name}' may carry: it is not on file")
        else:
            yield from _holder(rule, results, index, holder)
    for index, terminal, path in _terminals(results):
        yield from _terminal(rule, results, index, terminal, path)


def _holder(rule: Rule, results: Results, index: int, holder: terminals.Holder) -> Iterator[Finding]:
    row, fusing = results.network.fuses[index], results.fusing
    rating, path = float(fusing.rating_a[index]), fuse_path(row, "holder")
    if holder.fuse_kind != row.fuse.kind:
        yield rule.finding(
            results, fuse_subject(row), f"a {row.fuse.kind} fuse does not fit a {holder.words}",
            source=holder.source.line(), fix=f"a holder made for {KINDS[row.fuse.kind].words} fuses",
            fields=(path, fuse_path(row, "kind")))
        return
    limit = holder.max_a if holder.continuous_a is None else holder.continuous_a
    for bound in range(2):
        load = float(fusing.continuous_a[bound, index])
        if limit is not None and load > limit:
            yield rule.finding(
                results, fuse_subject(row),
                f"{MEASURE_WORDS if bound else ''}{writing.burden(load, 'A')} continuous; the {holder.words} is rated "
                f"for "
                f"{writing.rating(limit)}: the holder's rating is the limit, not the "
                f"wire", figure=load, limit=limit, unit="A", measure=bool(bound),
                source=holder.source.line(), fix=_fix(results, index, load),
                fields=(path, fuse_path(row, "kind")))
            break
    if holder.max_a is not None and rating > holder.max_a:
        yield rule.finding(
            results, fuse_subject(row),
            f"a {writing.rating(rating)} fuse in a {holder.words} for {writing.rating(holder.max_a)} at most: the "
            "holder's rating is the limit, not the "
            "wire", figure=rating, limit=holder.max_a, unit="A", source=holder.source.line(),
            fix=_fix(results, index, float(fusing.continuous_a[0, index])),
            fields=(path, fuse_path(row, "rating")))


def _fix(results: Results, index: int, load_a: float) -> str:
    """The smallest holder on file rated for load and fuse, else the rule's own fix."""
    kind, rating = results.network.fuses[index].fuse.kind, float(results.fusing.rating_a[index])
    fits = [holder for holder in terminals.holders().values() if holder.fuse_kind == kind and holder.max_a is not None
            and holder.max_a >= rating and (holder.continuous_a or holder.max_a) >= load_a]
    best = min(fits, key=lambda holder: holder.max_a or 0.0, default=None)
    if best is None:
        return RULE.fix
    return f"a {best.words} ({best.id}), rated for {writing.rating(best.max_a)}; or {RULE.fix}"


def _terminals(results: Results) -> list[tuple[int, str, str]]:
    """(segment, terminal, path of the key that names it), the terminals of relay sockets on the wires beside them."""
    segments = results.network.segments
    ended = [(index, segments.segment[index]) for index in segments.marked.get("end", ())]
    found = [(index, end.terminal, segment_path(results, index, f"{key}.terminal")) for index, segment in ended
             for key, end in (("start", segment.start), ("end", segment.end))
             if end is not None and end.terminal is not None]
    network = results.network
    circuits = {network.circuit_ids[number]: network.circuits[number] for number in network.marked.get("relay", ())}
    sockets = {(kind, name): part.relay.socket
               for kind, parts in (("circuit", circuits), ("feed", results.plan.feed))
               for name, part in parts.items() if part.relay is not None and part.relay.socket is not None}
    if sockets:
        found += [(index, sockets[owner], f"{owner_path(owner)}.relay.socket")
                  for index, owner in enumerate(segments.owner)
                  if owner in sockets and segments.place[index] == "wire.0"]
    return found


def _terminal(rule: Rule, results: Results, index: int, terminal: str, path: str) -> Iterator[Finding | Unjudged]:
    area = float(results.network.segments.area_mm2[index])
    found = terminals.terminal_limit_a(terminal, area) if terminal in terminals.TERMINALS else None
    if found is None:
        yield rule.unjudged(segment_subject(results, index), f"what the terminal '{terminal}' may carry on "
                            f"{segment_words(results, index)}: it is not on file")
        return
    for bound in range(2):
        load = float(results.demands.lasting[bound, index])
        if load > found.value:
            yield rule.finding(
                results, segment_subject(results, index),
                f"{MEASURE_WORDS if bound else ''}{writing.burden(load, 'A')} through a "
                f"{terminals.TERMINALS[terminal]} on {segment_words(results, index)}; rated for "
                f"{writing.rating(found.value)}: the terminal's rating is the limit, not the wire",
                figure=load, limit=found.value, unit="A", measure=bool(bound), source=found.source.line(),
                fix="a larger terminal, or a thicker wire in it where its limit is printed by wire, or two circuits",
                fields=(path, segment_path(results, index, "size")))
            return


RULE = Rule(
    consequence="burns",
    title="Holder or terminal overloaded",
    source="holder and terminal data sheets",
    caution="A holder that feels warm is about to melt; a bigger fuse makes it worse.",
    fix="a bolt-in fuse or a holder of the next size, or two circuits",
    example="fails: 52 A continuous through a maxi in-line holder; passes: 35 A",
    find=find,
    figures=((FuseResult.rating_a, None),),
)
