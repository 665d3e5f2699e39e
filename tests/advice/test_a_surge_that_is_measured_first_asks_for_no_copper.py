"""A surge that is only assumed, or too high at the worst-case current alone, is measured before copper or a holder is
bought for it: what is proposed then is what the check names."""

from __future__ import annotations

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from tests.advice.worlds import around, example

ROAD = limit_set("road")


def fan(evidence: str, wire: str = "", fuse: str = 'kind = "blade"', surge: str = "", where: str = "cabin",
        current: str = "15 A") -> str:
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
current = "{current}"
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
def test_a_motors_usual_surge_asks_for_no_holder_and_no_copper(evidence: str, where: str) -> None:
    """17.8 A at 14.2 V over 75 % (Lundy, EDN 1996) and the blade curve: 30 A at most, at 25 and at 85 °C."""
    proposal = propose(around(fan(evidence, where=where)), ROAD, look_for_savings=False)
    kind, rating, (size,) = fitted(proposal)
    assert (kind, rating <= 30.0) == ("blade", True)
    assert size in ("2.5 mm2", "4 mm2")
    assert not [each for each in proposal.after.findings_for("circuit", "fan")
                if each.level != "advice" and not each.measure]


@pytest.mark.parametrize(("rating", "current"), [(15.0, "8 A"), (20.0, "11 A")])
def test_a_fuse_that_is_entered_stays_while_the_surge_is_only_assumed(rating: float, current: str) -> None:
    """Though its wire is rated for the one that withstands it."""
    plan = around(fan("measured", ', size = "10 mm2"', f'kind = "blade", rating = "{rating} A"', current=current))
    assert {each.measure for each in assess(plan, ROAD).findings if each.check == "blows-at-switch-on"} == {True}
    assert fitted(propose(plan, ROAD, look_for_savings=False)) == ("blade", rating, ["10 mm2"])


def test_a_stated_surge_gets_a_fuse_that_withstands_it() -> None:
    proposal = propose(around(fan("measured", surge='inrush = 5\ninrush_time = "1 s"')), ROAD,
                       look_for_savings=False)
    assert fitted(proposal)[1] > 30.0
    assert not [each for each in proposal.after.findings if each.check == "blows-at-switch-on"]


def test_a_fuse_too_large_becomes_the_one_the_check_names_or_stays_before_wires_that_are_thick_enough_by_then() -> None:
    """A wire among others in a run is rated for more once its neighbours are thicker: then fuse and wire both stay,
    though the check, which changes nothing else, names a smaller fuse; and the proposal says so."""
    proposal = example("coupe_turbo")
    changed = {".".join(map(str, change.path)): change.new for change in proposal.changes}
    named = [(path, value) for finding in proposal.before.findings if finding.check == "fuse-exceeds-wire"
             for path, value in finding.values if path.endswith("fuse.rating")]
    assert changed.keys() & {path for path, _ in named}
    assert not [each for each in proposal.after.findings if each.check == "fuse-exceeds-wire"]
    for path, value in named:
        wires = path.replace("fuse.rating", "wire.")
        assert not [each for each in changed if each.startswith(wires)], "a smaller fuse is enough"
        assert changed.get(path, value) == value
        assert path in changed or path in {each.fields[0] for each in proposal.fixed_by_others}
