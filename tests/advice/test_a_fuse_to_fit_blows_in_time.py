"""The fuse that a check names and that a proposal fits blows in time on a short at the far end, wherever a rating that
carries the load as entered, and that its wire allows, does."""

from __future__ import annotations

import re
from functools import cache

import pytest

from fuseplan.advice import propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.stock import ratings_between
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.advice.worlds import one

RATING = ("circuit", "one", "fuse", "rating")
GUARDED = {"no-trip-far-end", "wire-damaged-by-short", "fuse-exceeds-wire", "fuse-too-small"}
LENGTHS = ("6 m", "12 m", "18 m", "24 m", "30 m", "36 m")


@cache
def assessed(plan_key: tuple[str, str, str], rating: str) -> Assessment:
    return assess(changed(plan(*plan_key), {RATING: rating}), limit_set("road"))


def plan(size: str, length: str, rating: str) -> Plan:
    """A load whose worst-case current is far above that entered."""
    return one(f'size = "{size}"', f'fuse = {{ kind = "blade", rating = "{rating}" }}', evidence="guess",
               length=length)


def suits(key: tuple[str, str, str], rating: str) -> bool:
    return not [each for each in assessed(key, rating).findings if each.check in GUARDED and not each.measure]


@pytest.mark.parametrize("rating", ["5 A", "30 A"])
@pytest.mark.parametrize("size", ["1 mm2", "1.5 mm2", "2.5 mm2"])
def test_no_larger_fuse_is_fitted_than_blows_in_time(size: str, rating: str) -> None:
    chosen = 0
    for length in LENGTHS:
        key = (size, length, rating)
        fusing = assess(plan(*key), limit_set("road")).results.fusing
        low, high = float(fusing.low_a[0, 0]), float(fusing.high_a[0])
        fits = [f"{step:g} A" for step in ratings_between("blade", low, high)]
        if not any(suits(key, each) for each in fits):
            continue
        chosen += not all(suits(key, each) for each in fits)
        found = [each for each in assessed(key, rating).findings if each.check in GUARDED and not each.measure]
        for finding in found:
            named = re.match(r"fit ([\d.]+ A)", finding.fix)
            assert named is not None, finding.fix
            assert suits(key, named[1]), finding.fix
        proposal = propose(plan(*key), limit_set("road"), look_for_savings=False)
        assert not [each for each in proposal.after.findings if each.check in GUARDED and not each.measure]
        assert not [each for each in proposal.changes if each.path[-1] == "size" and each.check in GUARDED]
    assert chosen
