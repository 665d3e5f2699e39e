"""A fuse does not suit its position in the fuse box, or shares it with another.

Old fuse boxes have few positions, each for one type of fuse up to one rating: the contacts and the bus behind them
overheat before the fuse blows. A few spare positions are needed for later circuits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.checks.boxes import answers, boxes_at, free, seated, seats, too_large, too_much, ways, wrong_kind
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_words
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities.amounts import Amount
from fuseplan.quantities.listing import first_few

SHOWN = 12


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan, network = results.plan, results.network
    held = {box: {(way.feed, way.position): way for way in ways(results, box)} for box in plan.fuse_box}
    unchecked: dict[str, list[int]] = {}
    yield from _seated(rule, results)
    for (feed, position), devices in seats(results).items():
        boxes = [name for name, _ in boxes_at(results, devices[0])]
        way = next((held[name][feed, position] for name in boxes if (feed, position) in held[name]), None)
        for index in devices:
            if index != devices[0]:
                row, other = network.fuses[index], owner_words(results, network.fuses[devices[0]].owner)
                of = _box(results, way.box) if way is not None else f"feed {_feed(results, feed)}"
                yield rule.finding(
                    results, fuse_subject(row), f"position {position} of {of} is already used by "
                                                f"{other}", consequence="fails_in_use",
                    fix=_fix(results, index), fields=(fuse_path(row, "position"),))
            if way is None and any(held[name] for name in boxes):
                yield _no_such(rule, results, index, [name for name in boxes if held[name]])
        if not any(held[name] for name in boxes):
            unchecked.setdefault(feed, []).extend(devices)
    for feed, indexes in unchecked.items():
        yield _unchecked(rule, results, feed, indexes)
    for name, box in plan.fuse_box.items():
        if box.spare and held[name] and (left := free(results, name)) < box.spare:
            yield rule.finding(
                results, ("fuse_box", name), f"{left} of {len(held[name])} positions are free, {box.spare} are asked "
                                             "for",
                figure=float(left), figure_side="limit", limit=float(box.spare), unit="ways",
                consequence="good_practice",
                source="spare circuits in the harness: a fire-apparatus purchase specification",
                fix="a second fuse box, or a larger one",
                fields=(f"fuse_box.{name}.position", f"fuse_box.{name}.spare"))


def _seated(rule: Rule, results: Results) -> Iterator[Finding]:
    """What is wrong with the devices in the positions they name: type, rating, load."""
    for index, way in seated(results).items():
        kind = results.network.fuses[index].fuse.kind
        if way.part.kind is not None and way.part.kind != kind:
            yield _unfit(rule, results, index, wrong_kind(way.part.kind, kind))
    for rows, words in ((ratings_in_ways(results), too_large), (through_ways(results), too_much)):
        for index, bound, own, most in rows.judged(results).failing if rows.parts.size else ():
            yield _unfit(rule, results, index, words(own, most), bound, own, most)


def _unfit(rule: Rule, results: Results, index: int, words: str, bound: int = 0, figure: float | None = None,
           limit: float | None = None) -> Finding:
    row, way = results.network.fuses[index], seated(results)[index]
    return rule.finding(
        results, fuse_subject(row), f"position {way.position} of {_box(results, way.box)}: {words}",
        figure=figure, limit=limit, unit="" if figure is None else "A", bound=bound, fix=_fix(results, index),
        fields=(fuse_path(row, "position"), fuse_path(row, "rating")))


def ratings_in_ways(results: Results) -> LimitRows:
    """The rating of each fuse in a position of a fuse box, against the largest that takes."""
    rating = results.fusing.rating_a
    return _rows(results, {index: way.part.largest for index, way in seated(results).items()},
                 lambda parts: lambda figures: np.tile(rating[parts], (len(figures.demands.load), 1)))


def through_ways(results: Results) -> LimitRows:
    """What lasts through each position of a fuse box, against what its supply is rated for."""
    nodes = results.network.fuse_node
    return _rows(results, {index: way.part.rating for index, way in seated(results).items()},
                 lambda parts: lambda figures: figures.demands.lasting_at(nodes[parts]))


def _rows(results: Results, most: Mapping[int, Amount | None], figure: Callable[[Ints], Callable[[CaseFigures], Floats]]
          ) -> LimitRows:
    parts = np.array([index for index, each in most.items() if each is not None], dtype=np.int64)
    return rows_of(lambda: [fuse_subject(results.network.fuses[index]) for index in parts.tolist()], parts,
                   np.array([float(each) for each in most.values() if each is not None]), figure(parts))


def _no_such(rule: Rule, results: Results, index: int, boxes: list[str]) -> Finding:
    """A position none of the boxes on its feed has."""
    row = results.network.fuses[index]
    elsewhere = _elsewhere(results, index)
    hint = f"; {elsewhere}, but this fuse is taken from feed " \
           f"{_feed(results, results.network.places.source(row.owner))}" if elsewhere else ""
    return rule.finding(
        results, fuse_subject(row), f"there is no position {row.fuse.position} in "
                                    f"{' or '.join(_box(results, each) for each in boxes)}{hint}",
        consequence="hides_a_fault",
        fix=_fix(results, index), fields=(fuse_path(row, "position"),))


def _elsewhere(results: Results, index: int) -> str:
    """The fuse box on another feed that has the position a fuse names; empty where none has."""
    position = results.network.fuses[index].fuse.position
    return next((f"{_box(results, name)} has one, on feed {_feed(results, place.feed)}" for name, places in
                 results.network.box_places.items() for place in places if place.position == position), "")


def _unchecked(rule: Rule, results: Results, feed: str, indexes: list[int]) -> Finding:
    """Positions named on a feed for which the plan has no fuse box, or one without positions."""
    rows = [results.network.fuses[index] for index in indexes]
    names = list(dict.fromkeys(row.fuse.position or "" for row in rows))
    empty = [name for name, feeds in results.network.box_feeds.items() if feed in feeds]
    at = f"on feed {_feed(results, feed)}"
    lacks = f"{_box(results, empty[0])} has no positions stated" if empty else f"no fuse box is stated {at}"
    elsewhere = next(filter(None, (_elsewhere(results, index) for index in indexes)), "")
    if elsewhere:
        lacks += f"; {elsewhere}, where it is live only when that feed is"
    boxed = f"the positions of {_box(results, empty[0])}" if empty else f"a fuse box {at} and its positions"
    what = "position" if len(names) == 1 else "positions"
    return rule.finding(
        results, ("feed", feed) if feed else ("plan", "plan"),
        f"the type and rating of the fuse in {what} {first_few(names, SHOWN)} cannot be checked: {lacks}",
        consequence="not_judged", source="the limits of a fuse box must be stated in the plan",
        fix=f"state {boxed}, each with the type and the largest rating it takes",
        fields=tuple(fuse_path(row, "position") for row in rows[:SHOWN]))


def _box(results: Results, name: str) -> str:
    return f"fuse box {in_words(results.plan, 'fuse_box', name)}"


def _feed(results: Results, name: str) -> str:
    return in_words(results.plan, "feed", name)


def _fix(results: Results, index: int) -> str:
    found = answers(results, index)
    fits = [answer.way for answer in found if answer.why_not is None]
    if not found:
        return "name another position for one of the two"
    if fits:
        return f"move it to position {fits[0].position} of {_box(results, fits[0].box)}"
    return "no free position suits it: fit a second fuse box, or an in-line holder"


RULE = Rule(
    consequence="burns",
    title="Wrong fuse position",
    source="the box's own limits, as given in the plan",
    caution="The contacts of an overloaded fuse box melt although the fuse does not blow.",
    fix="another position",
    example="fails: a 20 A fuse in a position for 15 A at most; passes: in a position for 20 A",
    find=find,
    limits=(ratings_in_ways, through_ways),
)
