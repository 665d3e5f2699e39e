"""A fuse of a larger type that a fix names carries the worst-case current too where the wire allows it: fitted, it asks
for no measurement that the next rating would have spared. Where nothing surges a proposal fits the same."""

from __future__ import annotations

import re

import pytest

from fuseplan.advice import propose
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from tests.checks.test_by_hand import of, plan

LOAD = 'current = "{}"\nat = "13.5 V"\nkind = "{}"\nevidence = "{}"\nuse = "{}"{}'


@pytest.mark.parametrize("evidence", ["measured", "plate", "published", "typical", "guess"])
@pytest.mark.parametrize("use", ["continuous", "intermittent"])
@pytest.mark.parametrize(("current", "more"), [("22 A", ""), ("27 A", ""), ("34 A", ""), ("40 A", ""),
                                               ("25 A", "\ninrush = 4\ninrush_time = \"600 ms\"")])
def test_the_fuse_named_asks_for_no_measurement(current: str, more: str, use: str, evidence: str) -> None:
    load = LOAD.format(current, "motor" if more else "resistive", evidence, use, more)
    fused = 'fuse = {{ kind = "{}", rating = "{}" }}'
    before = plan(load, more=fused.format("blade", "30 A"), size="35 mm2", insulation="xlpe125")
    named = [match for check in ("fuse-too-small", "blows-at-switch-on") for each in of(before, check)
             if (match := re.match(r"fit an? ([\d.]+ A) maxi blade fuse", each.fix)) and not each.measure]
    device = before.fuse_of["circuit", "one"]
    if not named or before.results.fusing.low_a[1, device] > ladder("maxi")[-1]:
        pytest.skip("a blade fuse is large enough, or no maxi fuse carries the worst case")
    for each in named:
        fitted = plan(load, more=fused.format("maxi", each[1]), size="35 mm2", insulation="xlpe125")
        assert "one" not in {each.subject for each in of(fitted, "fuse-too-small")}
    if not more:
        proposed = propose(before.plan, limit_set("road"), look_for_savings=False).plan.circuit["one"].fuse
        assert proposed is not None
        assert {each[1] for each in named} == {str(proposed.rating)}
