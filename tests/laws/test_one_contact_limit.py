"""A relay's contact has one limit: checks, power report, headroom and choice of relay all take that for its loads."""

from __future__ import annotations

import math
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.contacts import contact_for_circuit, contact_for_feed
from fuseplan.checks.headroom import feed_headroom
from fuseplan.engine.relays import contact
from fuseplan.plan.model import Plan

PRINTED = {"lamp": 17.0, "motor": 17.0, "resistive": 30.0, "electronic": 30.0, None: 17.0}
"""Of the contact micro_30_load at 85 °C, as its row in relay_contacts.csv names the data page; a kind of load that is
not given may be any."""


def with_load(kind: str | None, at: str, contact_name: str = "micro_30_load", ambient: str = "40 degC") -> Assessment:
    """One load behind a relay of a circuit or of a feed."""
    relay = {"contact": contact_name, "coil_feed": "bus", "driver": "switch", "suppression": "diode"}
    wire = [{"size": "10 mm2", "length": "1 m", "zone": "cabin", "insulation": "xlpe125"}]
    data: dict[str, Any] = {
        "fuseplan": 1, "battery": {"cold_crank": "400 A"}, "zone": {"cabin": {"ambient": ambient}},
        "feed": {"post": {"zone": "cabin"}, "bus": {"from": "post", "zone": "cabin", "wire": wire, "fuse": {
            "kind": "maxi", "rating": "50 A"}}},
        "earth": {"battery": {}},
        "circuit": {"one": {"feed": "bus", "earth": "battery", "wire": wire, "load": [
            {"current": "22 A", "at": "13.5 V", "kind": kind, "evidence": "measured"}]}}}
    if at == "circuit":
        data["circuit"]["one"]["relay"] = relay
    else:
        data["feed"]["bus"]["relay"] = relay | {"coil_feed": "post"}
    return assess(Plan.model_validate(data))


@pytest.mark.parametrize("kind", PRINTED)
@pytest.mark.parametrize("at", ["circuit", "feed"])
def test_the_limit_is_that_of_the_kind_of_load_wherever_it_shows(kind: str | None, at: str) -> None:
    assessment = with_load(kind, at)
    printed = PRINTED[kind]
    total, = assessment.results.power.loads.relays
    assert total.limit_a == printed
    check = "relay-overloaded" if at == "circuit" else "feed-overloaded"
    found = [each.limit for each in assessment.findings if each.check == check]
    assert found == ([] if printed > 22 or (kind is None and at == "circuit") else [printed])
    if at == "feed":
        bus = next(view for view in assessment.feeds if view.id == "bus")
        lasting = [each.duration > 5 for each in assessment.results.network.conditions]
        rows = feed_headroom(assessment, bus)
        assert {row.limit_a for row, counts in zip(rows, lasting, strict=True) if counts} == {printed}
    chosen = contact_for_circuit(assessment.results, 0, None, 0) if at == "circuit" else \
        contact_for_feed(assessment.results, "bus", 0)
    assert chosen is not None
    assert contact(chosen, 40.0).carries_a({kind}) >= 22.0


def test_a_place_hotter_than_the_printed_figures_leaves_no_limit_in_the_power_report() -> None:
    assessment = with_load("resistive", "circuit", contact_name="mini_25", ambient="60 degC")
    total, = assessment.results.power.loads.relays
    assert math.isnan(total.limit_a)
    assert math.isnan(contact("no_such_contact", 20.0).carries_a({"lamp"}))
