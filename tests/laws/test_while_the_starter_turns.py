"""While the starter turns, its cable has the starter's own limit: what shares it counts from where it leaves it, and
the voltage left for what must run is held against what that needs."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from tests.plans import plan_of

STARTER_A = 180.0


def _judged(cable: str = "50 mm2", ecu_wire: str = "2.5 mm2", ecu_feed: str = "stud", limits: str = "road",
            **ecu: Any) -> Assessment:
    """A battery in the boot: one cable to a stud in front, the starter and a fused feed on that."""
    return assess(plan_of({
        "fuseplan": 1, "vehicle": {"name": "Boot battery", "system": "12 V", "limits": limits},
        "battery": {"open_circuit": "12.6 V", "internal_resistance": "8 mohm", "cold_crank": "600 A"},
        "zone": {"cool": {"ambient": "20 degC"}},
        "feed": {"post": {"zone": "cool"},
                 "stud": {"from": "post", "zone": "cool",
                          "wire": [{"size": cable, "length": "4.5 m", "zone": "cool", "insulation": "pvc105"}]},
                 "bus": {"from": ecu_feed, "zone": "cool", "fuse": {"kind": "maxi", "rating": "40 A"},
                         "wire": [{"size": "10 mm2", "length": "1 m", "zone": "cool", "insulation": "pvc105"}]}},
        "earth": {"negative": {}},
        "condition": {"crank": {"state": "crank", "engine": "200 r/min",
                                "when": ["crank", "engine"]},
                      "idle": {"state": "running", "engine": "850 r/min", "when": ["engine"]}},
        "circuit": {
            "starter": {"role": "starter", "feed": "stud", "earth": "negative",
                        "wire": [{"size": cable, "length": "0.3 m", "zone": "cool", "insulation": "pvc105"}],
                        "load": [{"name": "starter", "current": f"{STARTER_A} A", "at": "10 V", "kind": "motor",
                                  "when": ["crank"], "evidence": "measured"}]},
            "ecu": {"role": "engine_control_unit", "feed": "bus", "earth": "negative",
                    "fuse": {"kind": "blade", "rating": "15 A", "zone": "cool"},
                    "wire": [{"size": ecu_wire, "length": "2 m", "zone": "cool", "insulation": "pvc105"}],
                    "load": [{"name": "control unit", "current": "8 A", "at": "12 V", "kind": "electronic",
                              "when": ["engine"], "evidence": "measured"}], **ecu}}}))


def _drop(found: Assessment) -> Any:
    return found.circuit("ecu").drop


def _fails(found: Assessment, circuit: str) -> set[str]:
    return {each.check for each in found.findings_for("circuit", circuit)}


def test_what_the_starter_loses_in_a_cable_is_no_drop_of_what_shares_it() -> None:
    found = _judged()
    assert "voltage-drop" not in _fails(found, "ecu")
    assert _drop(found).supply_v > 0.5 > _drop(found).judged_v


def test_it_is_the_same_whatever_the_starter_draws_but_for_what_its_own_voltage_changes() -> None:
    thick, thin = (_drop(_judged(cable)).judged_v for cable in ("95 mm2", "35 mm2"))
    assert thick == pytest.approx(thin, rel=0.06)


def test_the_starter_is_still_held_to_its_own_limit_and_the_control_unit_to_the_voltage_it_needs() -> None:
    found = _judged("10 mm2")
    assert {(each.check, each.subject) for each in found.findings if each.check in (
        "low-cranking-voltage", "voltage-drop")} == {
            ("voltage-drop", "starter"), ("low-cranking-voltage", "battery"), ("low-cranking-voltage", "ecu")}


def test_what_a_circuit_loses_in_its_own_wires_still_fails() -> None:
    found = _judged(ecu_wire="0.5 mm2")
    (finding,) = [each for each in found.findings_for("circuit", "ecu") if each.check == "voltage-drop"]
    assert finding.figure == pytest.approx(_drop(found).judged_v)
    assert finding.limit == 0.5


def test_a_lead_of_the_starter_itself_counts_from_the_battery() -> None:
    drop = _drop(_judged(drop_class="starter_control"))
    assert drop.judged_v == pytest.approx(drop.supply_v)


def test_a_circuit_that_leaves_at_the_battery_counts_from_there() -> None:
    assert _drop(_judged(ecu_feed="post")).judged_v == pytest.approx(_drop(_judged(ecu_feed="post")).supply_v)


def test_a_limit_for_both_leads_is_for_the_whole_way() -> None:
    found = _judged(limits="aircraft")
    assert _drop(found).judged_v == pytest.approx(_drop(found).volts)


def test_a_starter_in_a_plan_without_feeds_is_assessed() -> None:
    starter = {"role": "starter", "load": [{"current": f"{STARTER_A} A", "at": "10 V", "kind": "motor",
                                            "when": ["crank"], "evidence": "measured"}]}
    found = assess(plan_of({"fuseplan": 1, "battery": {"cold_crank": "600 A"}, "circuit": {"starter": starter},
                            "condition": {"crank": {"state": "crank", "when": ["crank"]}}}))
    assert found.verdict("starter") != "ok"
