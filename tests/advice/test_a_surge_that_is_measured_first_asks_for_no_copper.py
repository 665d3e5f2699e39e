"""A surge that is only assumed, or too high at the worst-case current alone, is measured before copper or a holder is
bought for it: what is proposed then is what the check names."""

from __future__ import annotations

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.quantities.amounts import CURRENT, amount
from tests.advice.worlds import around, example

ROAD = limit_set("road")


def fan(evidence: str, wire: str, fuse: str = 'kind = "blade"', surge: str = "", where: str = "cabin") -> str:
    return f"""
[zone.bay]
ambient = "85 degC"
[circuit.fan]
role = "cooling_fan"
feed = "battery_post"
fuse = {{ {fuse} }}
relay = {{ contact = "mini_40", coil_feed = "battery_post", driver = "switch", suppression = "resistor" }}
wire = [{{ length = "2 m", zone = "{where}", insulation = "xlpe125"{wire} }}]
earth = "battery_negative"
[[circuit.fan.load]]
current = "15 A"
kind = "motor"
when = ["engine"]
use = "continuous"
evidence = "{evidence}"
{surge}
"""


def fitted(proposal: Proposal) -> tuple[str, float, list[str]]:
    circuit = proposal.plan.circuit["fan"]
    assert circuit.fuse is not None
    assert circuit.fuse.rating is not None
    return circuit.fuse.kind, float(circuit.fuse.rating), [str(each.size) for each in circuit.wire]


@pytest.mark.parametrize("where", ["cabin", "bay"])
@pytest.mark.parametrize("evidence", ["measured", "plate"])
def test_a_fan_of_15_a_gets_a_blade_fuse_and_4_mm2(evidence: str, where: str) -> None:
    """17.8 A at 14.2 V over 75 % (Lundy, EDN 1996) and the blade curve: 30 A at most, at 25 and at 85 °C."""
    proposal = propose(around(fan(evidence, "", where=where)), ROAD, look_for_savings=False)
    kind, rating, (size,) = fitted(proposal)
    assert (kind, rating <= 30.0) == ("blade", True)
    assert size in ("2.5 mm2", "4 mm2")
    assert not [each for each in proposal.after.findings_for("circuit", "fan")
                if each.level != "advice" and not each.measure]


def test_a_stated_surge_gets_a_fuse_that_withstands_it() -> None:
    proposal = propose(around(fan("measured", "", surge='inrush = 5\ninrush_time = "500 ms"')), ROAD,
                       look_for_savings=False)
    assert fitted(proposal)[1] > 30.0
    assert not [each for each in proposal.after.findings if each.check == "blows-at-switch-on"]


def test_check_and_proposal_name_the_same_rating() -> None:
    """Where the proposal changes a fuse that a check names another rating for; one that may stay, as its neighbours in
    the run carry less once they are thicker, stays."""
    proposal = example("coupe_turbo")
    changed, compared = {".".join(map(str, change.path)) for change in proposal.changes}, 0
    assert not [each for each in proposal.after.findings if each.check == "fuse-exceeds-wire"]
    assert not [path for path in changed if path.startswith("circuit.blower.wire")], "its wire is thick enough"
    for finding in assess(proposal.before.plan).findings:
        path = finding.fields[0] if finding.fields else ""
        named = dict(finding.values).get(path)
        if named is not None and path in changed and path.endswith("fuse.rating") \
                and finding.check == "fuse-exceeds-wire":
            _, circuit, *_ = path.split(".")
            fuse = proposal.plan.circuit[circuit].fuse
            assert fuse is not None
            assert fuse.rating is not None
            assert float(fuse.rating) == float(amount(named, CURRENT))
            compared += 1
    assert compared
