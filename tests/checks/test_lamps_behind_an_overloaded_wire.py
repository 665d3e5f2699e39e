"""A lamp that is dim behind a wire which carries more than it may is dim for that wire, not for the alternator."""

from __future__ import annotations

import copy
import tomllib

import pytest

from fuseplan.checks import assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder

COUPE = tomllib.loads((shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8"))


def found(bus: str, size: str | None, check: str) -> dict[str, Finding]:
    data = copy.deepcopy(COUPE)
    for wire in data["feed"][bus]["wire"] if size is not None else ():
        wire["size"] = size
    return {each.subject: each for each in assess(Plan.model_validate(data)).findings
            if each.check == check and not each.measure}


@pytest.mark.parametrize(("bus", "size"), [("charge_stud", "2.5 mm2"), ("main_bus", "2.5 mm2")])
def test_a_lamp_that_only_a_thin_feed_makes_dim_follows_from_the_feed(bus: str, size: str) -> None:
    dim = found(bus, size, "low-lamp-voltage")
    caused = dim.keys() - found(bus, None, "low-lamp-voltage").keys()
    assert caused
    assert bus in found(bus, size, "feed-overloaded")
    assert {dim[name].fields[0] for name in caused} == {f"feed.{bus}.wire.0.size"}
