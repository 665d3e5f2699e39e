"""Selectivity: printed pairs, a coordination example, and the ways it can be told apart.

Published: coordination example of a fuse maker's protection handbook (1000 A through a 100 A and a 400 A time-delay
fuse: the lower opens within 1.75 s, the upper not before 90 s: coordinated). The rule of 1.6 to 1 holds for gG fuses of
IEC 60269, which are not on file here, so ratings alone prove nothing: two pairs of printed rows show both cases.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from fuseplan.engine import clearing, selectivity
from fuseplan.engine.selectivity import compare
from fuseplan.tables import fuses
from fuseplan.tables.load import Source
from fuseplan.tables.time_current import TimeCurrent
from tests.protection.small import assessed, found

SOURCE = Source("coordination example", "a fuse maker's protection handbook", "worked example", "read")


@pytest.fixture
def handbook(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The two fuses of the coordination example, as far as it prints them."""
    printed = {("mini", 100.0): ([10.0], [0.9], [1.75]), ("maxi", 400.0): ([2.5], [90.0], [400.0])}

    def curve(kind: str, rating_a: float, document: str | None = None) -> TimeCurrent | None:
        if (kind, rating_a) not in printed:
            return None
        rows = [np.array(values) for values in printed[kind, rating_a]]
        return TimeCurrent(kind, rating_a, *rows, sources=(SOURCE,), note="")

    monkeypatch.setattr(fuses, "time_current", curve)
    monkeypatch.setattr(fuses, "time_current_documents", lambda kind: ("handbook",))
    monkeypatch.setattr(fuses, "melting_i2t_a2s", lambda kind, rating_a: None)
    clearing.limits.cache_clear()
    selectivity._profile.cache_clear()
    yield
    clearing.limits.cache_clear()
    selectivity._profile.cache_clear()


def test_coordination_example(handbook: None):
    assert compare("mini", 100.0, "maxi", 400.0, 1000.0, 1000.0)[0] == "assured"
    # The other way round the 400 A fuse takes longer than the 100 A one above it may need.
    assert compare("maxi", 400.0, "mini", 100.0, 1000.0, 1000.0)[0] == "not assured"


def test_mini_10_under_maxi_40_at_80_a():
    # Lower at 800 %: within 0.1 s (Littelfuse 297); upper at 200 %: not before 2 s (Littelfuse 299).
    assert compare("mini", 10.0, "maxi", 40.0, 80.0, 80.0)[0] == "assured"


def test_two_to_one_in_rating_is_no_proof():
    # MINI 20 A at 80 A (400 %): up to 0.5 s (Littelfuse 297); regular 40 A at 200 %: perhaps after 0.15 s (287).
    answer, start, _ = compare("mini", 20.0, "blade", 40.0, 80.0, 80.0)
    assert answer == "not assured"
    assert start == 80.0


def test_heat_decides_in_a_heavy_short():
    # Let-through of MINI 10 A: at most 360 A²s; melting I²t of maxi 40 A: 8500 A²s (Littelfuse 299).
    assert compare("mini", 10.0, "maxi", 40.0, 300.0, 1500.0)[0] == "assured"


def test_unknown_where_nothing_is_on_file():
    assert compare("mini", 10.0, "midi", 80.0, 100.0, 500.0)[0] == "unknown"
    answer, _, why = compare("mini", 5.0, "blade", 15.0, 100.0, 200.0)
    assert answer == "unknown"
    assert "no published limits on file" in why


def test_a_wider_range_is_never_safer():
    rank = {"assured": 0, "unknown": 1, "not assured": 2}
    for upper in (20.0, 30.0, 40.0):
        narrow = compare("mini", 10.0, "maxi", upper, 100.0, 200.0)[0]
        wide = compare("mini", 10.0, "maxi", upper, 20.0, 1000.0)[0]
        assert rank[wide] >= rank[narrow]


BOX = {"wire": [{"size": "10 mm2", "length": "1 m", "zone": "place", "insulation": "pvc70"}]}


def test_one_finding_for_the_upper_fuse_with_a_fix_that_cures():
    box = {**BOX, "fuse": {"kind": "blade", "rating": "15 A"}}
    (finding,) = found(assessed(box=box, kind="blade", rating="10 A", length="24 m"), "not-selective")
    assert finding.subject == "box"
    assert finding.source.count("287") >= 1
    assert finding.caution
    rating, words = finding.fix.removeprefix("fit a ").split(" here")[0].split(" A ")
    kind = next(each for each in fuses.KINDS if fuses.kind_words(each) == words)
    cured = assessed(box={**BOX, "fuse": {"kind": kind, "rating": f"{rating} A"}}, kind="blade", rating="10 A",
                     length="24 m")
    assert not found(cured, "not-selective")
    assert cured.circuit("lamp").fault.selectivity == "assured"


def test_selective_over_a_range_is_selective_at_every_current_of_it():
    kinds = [("mini", 5.0), ("mini", 20.0), ("blade", 30.0), ("maxi", 40.0), ("maxi", 80.0), ("glass", 5.0)]
    assured = 0
    for lower in kinds:
        for upper in kinds:
            for low_a, high_a in ((20.0, 60.0), (50.0, 110.0), (90.0, 400.0), (300.0, 2000.0)):
                answer, first, _ = compare(*lower, *upper, low_a, high_a)
                end = high_a if answer == "assured" else first
                if end > low_a:
                    assert selectivity._sure(lower, upper, np.geomspace(low_a, end, 400, endpoint=False))[0].all()
                assured += answer == "assured"
    assert assured >= 5
