"""A charge lamp's own lead is none between alternator and regulator: what its feed loses dims it a little, and is no
fault. What the lamp leaves on a dead feed with nothing else on it holds nothing."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from fuseplan.plan.roles import roles
from tests.checks.check_plans import BASE
from tests.plans import cabin_wire, circuit_text, load

CAR = tomllib.loads(BASE + circuit_text(
    "charge_lamp", load("0.17 A", at="13.5 V", kind="lamp", when=["key_on"]), feed="ignition_bus", earth="engine",
    role="alternator_exciter", fuse={"kind": "blade", "rating": "5 A", "distance": "80 mm"},
    wire=cabin_wire("1 mm2", "2 m", "pvc105")) + circuit_text(
    "heater", load("15 A", when=["key_on"]), feed="ignition_bus", earth="body", role="other", drop_class="control",
    fuse={"kind": "blade", "rating": "25 A", "distance": "80 mm"}, wire=cabin_wire("6 mm2", "0.5 m", "pvc105")))
CAR["alternator"]["exciter"] = "charge_lamp"


def judged(data: dict[str, Any]) -> Assessment:
    return assess(Plan.model_validate(data))


def test_what_the_feed_of_a_charge_lamp_loses_is_no_fault_of_its_lead() -> None:
    """0.1 V is printed for control leads between alternator and regulator, D+, D- and DF: an automotive handbook."""
    data = copy.deepcopy(CAR)
    data["feed"]["ignition_bus"]["wire"] = cabin_wire("6 mm2", "3 m", "pvc105")
    lamp = judged(data).circuit("charge_lamp")
    assert lamp.drop is not None
    assert not [each for each in lamp.findings if each.check == "voltage-drop"]
    assert roles()["alternator_exciter"].drop_class == "control"
    data["circuit"]["charge_lamp"]["drop_class"] = "regulator_sense"
    assert [each for each in judged(data).circuit("charge_lamp").findings if each.check == "voltage-drop"], \
        "stated, the printed limit counts"


def test_a_lamp_alone_on_its_feed_leaves_it_live_for_nothing() -> None:
    data = copy.deepcopy(CAR)
    del data["circuit"]["heater"]
    [finding] = [each for each in judged(data).findings if each.check == "back-feed"]
    assert finding.level == "advice"
    assert finding.message.endswith("nothing there runs on it")
