"""The fuse rating is not sold in this type.

A rating nobody makes is replaced by whatever is at hand, usually the next size up. Types whose ratings are not on file
are not checked, nor what lies past the end of a list from memory and within the standard of its type.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_fuses
from fuseplan.engine.results import Results
from fuseplan.engine.stock import BRITISH, ladder, marked_to_blow_at
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.fuses import kind_words


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    for index, rating in of_fuses(network, _not_sold).items():
        row = network.fuses[index]
        steps = ladder(row.fuse.kind)
        below = [step for step in steps if step < rating]
        above = [step for step in steps if step > rating]
        near = [writing.rating(step) for step in (*below[-1:], *above[:1])]
        marked = marked_to_blow_at(rating) if row.fuse.kind == BRITISH else None
        yield rule.finding(
            results, fuse_subject(row),
            f"{writing.rating(rating)} is not sold as a {kind_words(row.fuse.kind)}: the "
            f"nearest {'are' if len(near) > 1 else 'is'} {' or '.join(near)}{_british(row.fuse.kind, rating)}"
            if marked is None else
            f"no {kind_words(row.fuse.kind)} carries {writing.rating(rating)}; one that is marked to blow at that "
            f"carries {writing.rating(marked)}, which is its rating here",
            figure=rating, figure_side="stated", unit="A",
            source=_source(row.fuse.kind),
            fix=f"fit {' or '.join(near)}{', whichever lies in the fuse range' if len(near) > 1 else ''}"
            if marked is None else f"enter {writing.rating(marked)}, if it is marked so",
            fields=(fuse_path(row, "rating"), fuse_path(row, "kind")),
        )


def _source(kind: str) -> str | None:
    ratings = fuse_tables.ratings(kind)
    return None if ratings is None else ratings.source.line()


def _not_sold(network: Network, device: int) -> float | None:
    """The rating entered for a device where its type is not sold with that [A]; None where it is, or nobody knows."""
    kind, rating = network.fuses[device].fuse.kind, network.fuses[device].fuse.rating
    steps = ladder(kind)
    if rating is None or not steps or float(rating) in steps:
        return None
    listed, covered = fuse_tables.ratings(kind), fuse_tables.largest_covered_a(kind)
    may_be_sold = listed is not None and listed.source.how == "memory" and covered is not None \
        and steps[-1] < float(rating) <= covered.value
    return None if may_be_sold else float(rating)


def _british(kind: str, rating_a: float) -> str:
    """That a rating is one of a British glass fuse, or the current one is marked to blow at, as the end of a sentence;
    empty where it is not."""
    if kind != "glass":
        return ""
    marked = marked_to_blow_at(rating_a)
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
