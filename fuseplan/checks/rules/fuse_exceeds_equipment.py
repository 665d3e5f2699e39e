"""The fuse rating exceeds the largest fuse that the maker of a load or control allows in front of it.

Sockets, window motors and control units have thin wires and tracks inside: only a fuse of the rating their maker prints
protects those, whatever wire leads to them.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.fixes import or_split, smaller_fuse
from fuseplan.checks.fuse_to_fit import rating_to_fit
from fuseplan.checks.protected import rating_unknown
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import circuit_path, circuit_subject, fuse_path, fuse_subject, owner_words
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.equipment import MaxFuse, limit_words, max_fuse_path, max_fuse_words, max_fuses
from fuseplan.engine.results import Results
from fuseplan.engine.stock import ladder
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network = results.network
    for each in max_fuses(network):
        subject, what = circuit_subject(results, each.circuit), max_fuse_words(network, each)
        allowed = f"{limit_words(network, each)} allows {writing.rating(each.most_a)}"
        if each.device < 0:
            yield rule.finding(
                results, subject, f"no fuse in front of {what}; {allowed}", limit=each.most_a, unit="A",
                fix=f"fit a fuse of {writing.rating(each.most_a)} at most where its wire starts",
                fields=(circuit_path(results, each.circuit, "fuse"), max_fuse_path(network, each)))
            continue
        rating = float(results.fusing.rating_a[each.device])
        if np.isnan(rating):
            yield rule.unjudged(subject, rating_unknown(results, each.device))
        elif exceeds(rating, each.most_a):
            yield _finding(rule, results, each, rating, allowed)


def _finding(rule: Rule, results: Results, stated: MaxFuse, rating_a: float, allowed: str) -> Finding:
    network, fusing, device = results.network, results.fusing, stated.device
    row = network.fuses[device]
    subject, owner = circuit_subject(results, stated.circuit), fuse_subject(row)
    own = owner == subject
    where = "" if own else f" of {owner_words(results, owner)}"
    low, high = float(fusing.low_a[0, device]), float(fusing.high_a[device])
    smaller = rating_to_fit(results, device, low, high)
    if smaller is not None:
        fix = smaller_fuse(results, device, smaller, where)
    elif own and np.isnan(low):
        fix = f"fit a fuse of {writing.rating(stated.most_a)} at most; what its load draws is not stated"
    elif own and not ladder(network.fuse_kinds[device]) and at_most(low, high):
        fix = f"fit one from {writing.SMALLEST_FUSE(low)} to {writing.LARGEST_FUSE(high)}"
    elif own:
        fix = ("compare the maker's figure with the load current: smallest fuse for the load: "
               f"{writing.SMALLEST_FUSE(low)}{or_split(results, device)}")
    else:
        fix = f"fit a fuse of its own of {writing.rating(stated.most_a)} at most where its wire starts"
    rating_path, own_fuse = fuse_path(row, "rating"), circuit_path(results, stated.circuit, "fuse")
    path = max_fuse_path(network, stated)
    return rule.finding(
        results, subject, f"{writing.rating(rating_a)} fuse{where}: {allowed} at most", figure=rating_a,
        limit=stated.most_a, unit="A", fix=fix,
        fields=(rating_path, path) if smaller is not None or own else (own_fuse, rating_path, path))


RULE = Rule(
    consequence="burns",
    title="Fuse rating exceeds what the equipment allows",
    source="the figure the plan states (max_fuse); that of the equipment's maker decides",
    caution="What is inside the equipment burns while a larger fuse still holds.",
    fix="a fuse of the rating the maker allows, or a fuse of its own in front of it",
    example="fails: a socket of 15 A at most behind a 20 A fuse; passes: behind a 15 A fuse",
    find=find,
    figures=((FuseResult.rating_a, FuseResult.max_fuse_a),),
)
