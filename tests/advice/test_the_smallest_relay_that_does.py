"""A relay that is proposed is the smallest that carries the load and makes its surge, in the socket there is; what only
the worst-case surge asks for is measured before a larger relay is fitted."""

from __future__ import annotations

import re

import numpy as np
import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.assessment import assess
from fuseplan.checks.contacts import contact_for_circuit, surges
from fuseplan.limits import limit_set
from fuseplan.tables.relays import CONTACTS
from tests.advice.worlds import around

ROAD = limit_set("road")
RELAY = 'relay = { contact = "%s", coil_feed = "battery_post", driver = "switch", suppression = "resistor" }'


def beams(switched: str, evidence: str, inrush: str, watts: float = 60.0, size: str = "4 mm2") -> str:
    load = "".join(f"""
[[circuit.beams.load]]
power = "{watts} W"
at = "12 V"
kind = "lamp"
when = ["night"]
use = "prolonged"
evidence = "{evidence}"
{inrush}
""" for _ in range(2))
    return f"""
[circuit.beams]
role = "headlamps"
feed = "battery_post"
fuse = {{ kind = "blade" }}
{switched}
wire = [{{ size = "{size}", length = "3 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
{load}"""


def relay_of(proposal: Proposal) -> str:
    relay = proposal.plan.circuit["beams"].relay
    assert relay is not None
    return relay.contact


@pytest.mark.parametrize("inrush", ["", "inrush = 10"])
@pytest.mark.parametrize("evidence", ["plate", "published", "typical", "guess"])
@pytest.mark.parametrize("fitted", [None, "mini_40", "micro_30"])
def test_two_main_beams_get_no_relay_of_the_largest_size(fitted: str | None, evidence: str, inrush: str) -> None:
    """Some 100 A at ten times the current (general relay-module table), and contacts that make 120 A on file."""
    proposal = propose(around(beams("switch = {}" if fitted is None else RELAY % fitted, evidence, inrush)), ROAD,
                       look_for_savings=False)
    assert relay_of(proposal).partition("_")[0] == (fitted or "micro_30").partition("_")[0]
    assert not [each for each in proposal.after.findings if each.check.startswith("relay-") and not each.measure]
    assert len([change for change in proposal.changes if "relay" in change.path]) <= 1, "one relay is one change"


def test_what_no_smaller_relay_makes_as_entered_gets_the_larger_one() -> None:
    proposal = propose(around(beams(RELAY % "mini_40", "measured", "inrush = 14", 90.0, "10 mm2")), ROAD,
                       look_for_savings=False)
    assert relay_of(proposal) == "maxi_70"


@pytest.mark.parametrize("metres", [0.5, 3.0, 6.0])
def test_lamps_that_start_together_share_the_resistance_of_their_wire(metres: float) -> None:
    """Two cold filaments side by side, in series with battery and wire: by Ohm's law."""
    text = beams(RELAY % "mini_60", "measured", "inrush = 10").replace("3 m", f"{metres} m")
    results = assess(around(text), ROAD).results
    loop = results.surges.loop_ohm[results.load_consumers]
    running = results.demands.load[0, 0, results.load_consumers]
    assert loop[0] == loop[1] > 0
    filament = 14.2 / (10.0 * running)
    alone = results.surges.peak_a[0, results.load_consumers]
    assert alone == pytest.approx(14.2 / (filament + loop))
    pair = surges(results, np.array([0]), results.demands)[0, 0]
    assert pair == pytest.approx(14.2 / (1.0 / (1.0 / filament).sum() + results.surges.shared_ohm[0]
                                         + 0.5 * (loop[0] - results.surges.shared_ohm[0])), rel=1e-6)
    assert pair <= alone.sum()


def test_a_fix_that_names_a_relay_names_one_that_makes_the_surge() -> None:
    found = [each for each in assess(around(beams(RELAY % "mini_40", "measured", "inrush = 12")), ROAD).findings
             if each.check == "relay-inrush-too-high"]
    assert [re.findall(r"\((\w+)\)", each.fix) for each in found] == [["mini_60"]]


NAMED_OHM = {name: each.contact_ohm for name, each in CONTACTS.items() if each.contact_ohm is not None}


@pytest.mark.parametrize("fitted", NAMED_OHM)
@pytest.mark.parametrize("amperes", [16, 22, 28, 33, 38])
def test_a_relay_named_for_a_load_loses_no_more_than_the_one_fitted(fitted: str, amperes: int) -> None:
    """No drop that passes with the relay fitted fails with the one named."""
    text = beams(RELAY % fitted, "measured", "", amperes * 12 / 2, "25 mm2").replace('"lamp"', '"resistive"')
    found = [each for each in assess(around(text), ROAD).findings if each.check == "relay-overloaded"]
    for each in found:
        assert all(NAMED_OHM[name] <= NAMED_OHM[fitted] for name in re.findall(r"\((\w+)\)", each.fix)), each.fix
    assert found or CONTACTS[fitted].rated_23_a is None or amperes <= CONTACTS[fitted].rated_23_a


def test_a_voltage_not_known_is_nothing_against_a_relay_that_a_switch_drives() -> None:
    """What a coil draws matters to a control unit's output alone. While a part of the plan was not known, no relay on
    file was said to carry the load."""
    results = assess(around(beams(RELAY % "mini_40", "measured", "inrush = 1"))).results
    fitted = contact_for_circuit(results, 0, results.plan.circuit["beams"].relay, 0)
    assert fitted is not None
    results.worst[0].root_v[...] = np.nan
    assert contact_for_circuit(results, 0, results.plan.circuit["beams"].relay, 0) == fitted
