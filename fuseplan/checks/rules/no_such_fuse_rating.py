"""The fuse rating is not sold in this type.

A rating nobody makes is replaced by whatever is at hand, usually the next size up. Types whose ratings are not on file
are not checked. What a list from memory leaves out may be sold all the same, and that is said, as far as a
holder on file, or its standard, goes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_fuses
from fuseplan.engine.results import Results
from fuseplan.engine.stock import BRITISH, ladder, marked_to_blow_at
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.fuses import kind_words
from fuseplan.tables.terminals import holders


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network = results.network
    for index, rating in of_fuses(network, _not_listed).items():
        row = network.fuses[index]
        steps, kind = ladder(row.fuse.kind), kind_words(row.fuse.kind)
        below = [step for step in steps if step < rating]
        above = [step for step in steps if step > rating]
        near = [writing.rating(step) for step in (*below[-1:], *above[:1])]
        nearest = f"the nearest {'are' if len(near) > 1 else 'is'} {' or '.join(near)}"
        british = _british(row.fuse.kind, rating)
        listed = fuse_tables.ratings(row.fuse.kind)
        from_memory = listed is not None and listed.source.how == "memory"
        if from_memory and not british and rating <= _may_be_sold_to_a(row.fuse.kind):
            yield rule.unjudged(fuse_subject(row), f"whether a {kind} is sold with {writing.rating(rating)}: it is not "
                                f"on the list on file, which is from memory; {nearest}", safety=False)
            continue
        marked = marked_to_blow_at(rating) if row.fuse.kind == BRITISH else None
        yield rule.finding(
            results, fuse_subject(row),
            f"{writing.rating(rating)} is not {'on file' if from_memory else 'sold'} as a {kind}: {nearest}{british}",
            figure=rating, figure_side="stated", unit="A", consequence="hides_a_fault" if british else None,
            source=None if listed is None else listed.source.line(),
            fix=f"enter {writing.rating(marked)}, if it is marked so" if marked is not None else
            f"{'if it is a British one, enter it so; else ' if british else ''}"
            f"fit {' or '.join(near)}{', whichever lies in the fuse range' if len(near) > 1 else ''}",
            fields=(fuse_path(row, "rating"), fuse_path(row, "kind")),
        )


def _not_listed(network: Network, device: int) -> float | None:
    """The rating entered for a device where the list of its type has no such [A]; None where it has, or there is no
    list."""
    kind, rating = network.fuses[device].fuse.kind, network.fuses[device].fuse.rating
    steps = ladder(kind)
    return None if rating is None or not steps or float(rating) in steps else float(rating)


def _may_be_sold_to_a(kind: str) -> float:
    """How far a type whose list is from memory may be sold [A]: a bolt-in one as far as a holder on file takes it, else
    as its standard covers."""
    covered = fuse_tables.largest_covered_a(kind)
    most_a = math.inf if covered is None else covered.value
    if kind not in ("midi", "mega"):
        return most_a
    # The scope of their standard is that of the largest type in it.
    return max((each.max_a for each in holders().values() if each.fuse_kind == kind and each.max_a is not None),
               default=most_a)


def _british(kind: str, rating_a: float) -> str:
    """That a rating of a glass fuse is one of a British one, or the current one is marked to blow at, as the end of a
    sentence; empty where it is neither."""
    marked = marked_to_blow_at(rating_a)
    if kind == BRITISH and marked is not None:
        return f"; one that is marked to blow at that carries {writing.rating(marked)}, which is its rating here"
    if kind != "glass":
        return ""
    if rating_a in ladder(BRITISH):
        return f"; a British one carries that and is marked to blow at {writing.rating(2.0 * rating_a)}: kind {BRITISH}"
    return "" if marked is None else \
        f"; a British one marked to blow at that carries {writing.rating(marked)}: kind {BRITISH}, with that rating"


RULE = Rule(
    consequence="fails_in_use",
    title="No such fuse rating",
    source="fuse makers' lists of ratings by type",
    caution="A fuse that cannot be bought is sooner or later replaced by a bigger one that does not protect the wire.",
    fix="a rating that is sold",
    example="fails: an 8 A blade fuse; passes: 7.5 A",
    find=find,
)
