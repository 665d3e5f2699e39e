"""A strap of the body in which too much is lost is one fault: lamps that are dim for it are told with it, and no larger
alternator is bought for them."""

from __future__ import annotations

import copy
import re
import tomllib
from functools import cache
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.planfile.starter import starter_plan
from tests.plans import plan_of

TAKEN = ("heater_blower", "heated_rear_window", "fan_resistor", "power_steering_electric", "led_dip_beams",
         "main_beams", "wiper_front", "horn", "side_tail_left", "side_tail_right", "stop_lamps", "reverse_lamps",
         "second_battery_split_charge", "trailer_socket", "fuel_pump_in_line")


@cache
def taken() -> str:
    return starter_plan("car", list(TAKEN))


def with_strap(size: str) -> dict[str, Any]:
    data = tomllib.loads(taken())
    data["battery"] |= {"cold_crank": "640 A", "capacity": "70 Ah"}
    data["alternator"] |= {
        "rated": "100 A", "low_speed": "60 A", "pulley_ratio": 3.0,
        "cable": [{"size": "70 mm2", "length": "1.4 m", "zone": "engine_bay", "insulation": "xlpe125"}],
        "fuse": {"kind": "mega", "rating": "200 A", "distance": "150 mm", "zone": "battery"}}
    data["earth"]["body_front"]["wire"][0]["size"] = size
    return data


def dim(data: dict[str, Any]) -> list[Finding]:
    return [each for each in assess(plan_of(data)).findings if each.check == "low-lamp-voltage" and not each.measure]


@pytest.mark.parametrize("size", ["2.5 mm2", "4 mm2"])
def test_a_lamp_dim_for_a_thin_strap_is_told_with_it(size: str) -> None:
    assert not dim(with_strap("70 mm2"))
    found, findings = dim(with_strap(size)), assess(plan_of(with_strap(size))).findings
    assert found
    for each in found:
        assert each.fields[0] == "earth.body_front.wire.0.size", (each.subject, each.fix)
        assert each.cause is not None
        assert findings[each.cause].fields[0] == each.fields[0]


def test_a_lamp_dim_for_its_own_thin_wire_is_told_the_wire() -> None:
    good = with_strap("70 mm2")
    thin = copy.deepcopy(good)
    thin["circuit"]["stop_lamps"]["wire"][0] |= {"size": "0.75 mm2", "length": "9 m"}
    known = {each.subject for each in dim(good)}
    found = [each for each in dim(thin) if each.subject not in known]
    assert [each.subject for each in found] == ["stop_lamps"]
    assert found[0].fields[0] == "circuit.stop_lamps.wire.0.size"


def slow(data: dict[str, Any]) -> list[Finding]:
    return [each for each in assess(plan_of(data)).findings if each.check == "no-trip-far-end" and not each.measure]


def with_long_strap(size: str) -> dict[str, Any]:
    data = with_strap(size)
    data["earth"]["body_front"]["wire"][0]["length"] = "3 m"
    for feed in data["feed"].values():
        if feed.get("fuse", {}).get("kind") in ("mega", "strip"):
            feed["fuse"]["blows_at"] = 3.5
    return data


def test_fuses_too_slow_for_a_thin_strap_are_told_with_it() -> None:
    assert not slow(with_long_strap("70 mm2"))
    findings = assess(plan_of(with_long_strap("2.5 mm2"))).findings
    found = slow(with_long_strap("2.5 mm2"))
    assert len(found) > 1
    for each in found:
        assert each.fields[0] == "earth.body_front.wire.0.size", (each.subject, each.fix)
        assert each.cause is not None
        assert findings[each.cause].check == "earth-strap-overloaded"
        size = re.search(r"fit (\d+ mm)² in place of the strap", each.fix)
        assert size is not None
        left = slow(with_long_strap(f"{size[1]}2"))
        assert each.subject not in [other.subject for other in left]


def test_a_fuse_too_slow_for_its_own_thin_wire_is_no_fault_of_the_strap() -> None:
    data = with_long_strap("70 mm2")
    data["circuit"]["stop_lamps"]["wire"][0] |= {"size": "0.5 mm2", "length": "60 m"}
    data["circuit"]["stop_lamps"]["fuse"]["rating"] = "30 A"
    found = slow(data)
    assert [each.subject for each in found] == ["stop_lamps"]
    assert not found[0].fields[0].startswith("earth.")


@pytest.mark.parametrize("length", ["1.5 m", "2 m", "2.5 m", "3 m"])
def test_the_strap_named_is_the_thinnest_on_file_that_makes_a_fuse_blow_in_time(length: str) -> None:
    """By this check alone: beside others it names what they ask for where that is thicker."""
    data = with_long_strap("2.5 mm2")
    strap, = data["earth"]["body_front"]["wire"]
    strap["length"] = length
    results, rule = assess(plan_of(data)).results, all_rules()["no-trip-far-end"]
    sold = [size.words for size in results.network.stock.sizes("mm2")]
    found = [each for each in rule.find(rule, results) if isinstance(each, Finding) and not each.measure]
    assert found
    for each in found:
        size = re.search(r"fit (\d+ mm)² in place of the strap", each.fix)
        assert size is not None, each.fix
        strap["size"] = sold[sold.index(f"{size[1]}2") - 1]
        assert strap["size"] == "2.5 mm2" or each.subject in [other.subject for other in slow(data)], each.fix


@pytest.mark.parametrize(("sizes", "lengths"), [
    (("2.5 mm2", "2.5 mm2"), ("1.5 m", "1.5 m")), (("4 mm2", "2.5 mm2"), ("1.5 m", "1.5 m")),
    (("2.5 mm2", "6 mm2"), ("0.3 m", "6 m"))])
def test_a_strap_of_two_lengths_is_replaced_as_far_as_that_removes_the_fault(
        sizes: tuple[str, str], lengths: tuple[str, str]) -> None:
    data = with_long_strap("2.5 mm2")
    whole, = data["earth"]["body_front"]["wire"]
    data["earth"]["body_front"]["wire"] = [{**whole, "size": size, "length": length}
                                           for size, length in zip(sizes, lengths, strict=True)]
    found = [each for each in slow(data) if each.fields[0].startswith("earth.body_front")]
    assert found
    for each in found:
        size = re.search(r"fit (\d+ mm)² in place of strap", each.fix)
        assert size is not None
        replaced = copy.deepcopy(data)
        for number in re.findall(r"earth\.body_front\.wire\.(\d)\.size", " ".join(each.fields)):
            replaced["earth"]["body_front"]["wire"][int(number)]["size"] = f"{size[1]}2"
        assert each.subject not in [other.subject for other in slow(replaced)]
