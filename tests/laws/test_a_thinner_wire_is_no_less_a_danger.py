"""What overloads a wire for certain overloads every thinner one: the fault is not told as a reading to take because the
thinner wire also has another limit that only the worst case is past.

That a thinner wire carries less and is heated more by the same current is physics; no figure is taken from anywhere.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from itertools import groupby, islice
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value

FOLDER = Path(__file__).parents[2] / "examples"
EXAMPLES = [pytest.param("dynamo_saloon"), *(pytest.param(name, marks=pytest.mark.rest)
                                             for name in ("track_car", "van_24v"))]
"""In the first, both limits are passed on one wire, one of them at the worst case alone."""
SIZES = (50.0, 35.0, 25.0, 16.0, 10.0, 6.0, 4.0, 2.5, 1.5, 1.0, 0.75, 0.5)
OVERLOADED = ("wire-overloaded", "feed-overloaded", "earth-strap-overloaded")
IN_EACH_RUN = 4
"""How many wires of each kind of part are looked at in an ordinary run; the starter's is the first of the circuits."""
Place = tuple[str | int, ...]


def wires(data: dict[str, Any]) -> Iterator[tuple[tuple[str, str], Place]]:
    """Owner and place of the first length of each wire of a plan that is entered in mm²."""
    for kind in ("feed", "earth", "circuit"):
        for name, part in data[kind].items():
            for key in ("wire", "earth_wire"):
                if part.get(key) and part[key][0].get("size", "").endswith("mm2"):
                    yield (kind, name), (kind, name, key, 0, "size")


def overloads(assessment: Assessment, owner: tuple[str, str]) -> set[str]:
    """The checks by which a part's wires are overloaded for certain."""
    return {each.check for each in assessment.findings
            if each.owner == owner and each.check in OVERLOADED and not each.measure}


@pytest.mark.share
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_wire_thinner_than_one_that_is_overloaded_is_overloaded_too(name: str, in_full: bool) -> None:
    data = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    at = assess(Plan.model_validate(data))
    looked_at: list[tuple[tuple[str, str], Place]] = []
    seen, found = Counter[str](), []
    for _, of_kind in groupby(wires(data), key=lambda wire: wire[0][0]):
        looked_at.extend(islice(of_kind, None if in_full else IN_EACH_RUN))
    for owner, place in looked_at:
        before: set[str] = set()
        for size in SIZES:
            at = assess(Plan.model_validate(with_value(data, place, f"{size} mm2")), after=at)
            now = overloads(at, owner)
            seen.update(before)
            if before and not now:
                found.append((place, size))
            before = now
    assert found == []
    assert all(seen[check] > 2 for check in OVERLOADED), seen
