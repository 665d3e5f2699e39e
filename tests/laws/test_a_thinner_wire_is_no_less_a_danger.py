"""What overloads a wire for certain overloads every thinner one: the fault is not told as a reading to take because the
thinner wire also has another limit that only the worst case is past.

That a thinner wire carries less and is heated more by the same current is physics; no figure is taken from anywhere.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value

FOLDER = Path(__file__).parents[2] / "examples"
EXAMPLES = [pytest.param("track_car"), *(pytest.param(name, marks=pytest.mark.rest)
                                         for name in ("dynamo_saloon", "van_24v"))]
SIZES = (50.0, 35.0, 25.0, 16.0, 10.0, 6.0, 4.0, 2.5, 1.5, 1.0, 0.75, 0.5)
OVERLOADED = ("wire-overloaded", "feed-overloaded", "earth-strap-overloaded")
Place = tuple[str | int, ...]


def wires(data: dict[str, Any]) -> Iterator[tuple[tuple[str, str], Place]]:
    """Owner and place of the first length of each wire of a plan that is entered in mm²."""
    for kind in ("feed", "earth", "circuit"):
        for name, part in data[kind].items():
            for key in ("wire", "earth_wire"):
                if part.get(key) and part[key][0].get("size", "").endswith("mm2"):
                    yield (kind, name), (kind, name, key, 0, "size")


def overloads(assessment: Assessment, owner: tuple[str, str]) -> bool:
    return any(each.owner == owner and each.check in OVERLOADED and not each.measure for each in assessment.findings)


@pytest.mark.share
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_wire_thinner_than_one_that_is_overloaded_is_overloaded_too(name: str, in_full: bool) -> None:
    data = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    at = assess(Plan.model_validate(data))
    seen, found = 0, []
    for owner, place in [*wires(data)][::1 if in_full else 3]:
        before = False
        for size in SIZES:
            at = assess(Plan.model_validate(with_value(data, place, f"{size} mm2")), after=at)
            now = overloads(at, owner)
            seen += before
            if before and not now:
                found.append((place, size))
            before = now
    assert seen > 5
    assert found == []
