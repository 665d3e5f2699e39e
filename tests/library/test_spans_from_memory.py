"""Where a figure of the library is from memory, the worst case reaches as far as the span that is remembered; and what
is proposed for it carries that span's high end in a fuse whose wire it protects, or asks for a reading."""

from __future__ import annotations

import re
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.engine.at_limit import at_most
from fuseplan.limits import limit_set
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from tests.library.test_a_new_plan_warns_of_nothing import with_its_examples

SPAN = re.compile(r"from memory: ([\d.]+) to ([\d.]+) (m?A|W)\b")
WIDE = ("secondary_air_pump", "throttle_body", "fan_brushless", "ecu_main", "cam_phaser", "fuel_pump_lift")


def wide_loads() -> dict[str, list[tuple[Any, float]]]:
    """Loads of the library with a remembered span, by definition, with its high end [A]."""
    found: dict[str, list[tuple[Any, float]]] = {}
    plan = parse_plan(starter_plan("new", list(definitions())))
    for name, circuit in plan.circuit.items():
        for load in circuit.load:
            said = SPAN.match(load.source or "")
            if said is not None and load.at is not None:
                times = {"A": 1.0, "mA": 1e-3, "W": 1.0 / float(load.at)}[said[3]]
                found.setdefault(name, []).append((load, float(said[2]) * times))
    return found


def test_the_worst_case_reaches_as_far_as_what_is_remembered() -> None:
    """30 % for a typical figure (common practice, no source), or the load's own tolerance where the span is wider."""
    loads = [each for several in wide_loads().values() for each in several]
    assert len(loads) > 20
    for load, high_a in loads:
        share = max(0.3, 0.0 if load.tolerance is None else float(load.tolerance))
        assert (1.0 + share) * float(load.current) >= high_a * (1 - 1e-9), (load.name, load.source)


@pytest.mark.parametrize("name", WIDE)
def test_the_fuse_proposed_carries_the_high_end_and_its_wire_is_rated_for_it(name: str) -> None:
    plan = parse_plan(with_its_examples(starter_plan("new", (name,))))
    found = propose(plan, limit_set("road"), look_for_savings=False)
    fusing, network = found.after.results.fusing, found.after.results.network
    asked = {each.subject for each in found.after.findings if each.measure}
    seen = 0
    for index, row in enumerate(network.fuses):
        kind, owner = row.owner
        if kind != "circuit" or not fusing.low_a[0, index] > 0:
            continue
        seen += 1
        assert fusing.low_a[1, index] > fusing.low_a[0, index]
        assert at_most(float(fusing.rating_a[index]), float(fusing.high_a[index]))
        assert owner in asked or at_most(float(fusing.low_a[1, index]), float(fusing.rating_a[index]))
    assert seen
