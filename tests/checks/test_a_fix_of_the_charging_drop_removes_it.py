"""What the check of the alternator cable names removes its fault when it is entered, whatever else is in the way: a
fuse, an ammeter, the wire from its feed to the battery."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.planfile.plain import with_value
from tests.plans import path_of, plan_of


def car(system: int, rated: str, size: str, length: str, feed_length: str, **feed: Any) -> dict[str, Any]:
    wire = {"zone": "cabin", "insulation": "xlpe125"}
    volts = 14.2 * system / 12
    return {
        "fuseplan": 1, "vehicle": {"system": f"{system} V"}, "zone": {"cabin": {"ambient": "40 degC"}},
        "battery": {"cold_crank": "500 A"},
        "alternator": {"rated": rated, "low_speed": rated, "regulator_voltage": f"{volts} V", "feed": "stud",
                       "earth": "minus", "cable": [{**wire, "size": size, "length": length}],
                       "fuse": {"kind": "mega", "rating": "150 A", "distance": "100 mm"}},
        "feed": {"post": {"zone": "cabin"},
                 "stud": {"from": "post", "wire": [{**wire, "size": "25 mm2", "length": feed_length}], **feed}},
        "earth": {"minus": {}}}


def of(data: dict[str, Any]) -> list[Finding]:
    return [each for each in assess(plan_of(data)).findings if each.check == "charging-voltage-drop"]


@pytest.mark.parametrize("data", [
    car(12, "90 A", "6 mm2", "2.5 m", "0.5 m"),
    car(12, "90 A", "16 mm2", "2.5 m", "3 m"),
    car(12, "90 A", "35 mm2", "0.5 m", "8 m"),
    car(12, "30 A", "4 mm2", "3 m", "2 m"),
    car(6, "20 A", "6 mm2", "1.5 m", "1 m"),
    car(6, "20 A", "4 mm2", "1 m", "0.5 m", ammeter={"scale": "60 A", "drop": "60 mV"}),
    car(24, "70 A", "6 mm2", "6 m", "4 m"),
])
def test_the_sizes_named_remove_it(data: dict[str, Any]) -> None:
    finding, = of(data)
    assert finding.values, finding.fix
    better = data
    for path, size in finding.values:
        better = with_value(better, path_of(path), size)
    assert not of(better), (finding.fix, [each.message for each in of(better)])


def test_what_is_wrong_with_the_cable_is_known_apart_from_what_is_with_the_way_back() -> None:
    """Each is mended by itself: one that is given up, or mended with another fault, says nothing of the other."""
    data = car(12, "90 A", "6 mm2", "2.5 m", "0.5 m")
    strap = {"to": "minus", "wire": [{"zone": "cabin", "insulation": "xlpe125", "size": "6 mm2", "length": "1 m"}]}
    found = of(with_value(with_value(data, path_of("earth.block"), strap), path_of("alternator.earth"), "block"))
    assert len(found) == len({each.identity for each in found}) == 2


def test_no_size_is_named_where_none_is_enough() -> None:
    """75 mV, what shunts drop at full scale, at 14 A are 5.4 mohm: more than the 5 mohm of 0.3 V at 30 A on 12 V."""
    finding, = of(car(6, "20 A", "6 mm2", "1 m", "0.3 m", ammeter={"scale": "14 A"}))
    assert not finding.values
    assert "fewer joints, meters and fuses" in finding.fix, finding.fix


def test_a_thin_cable_is_to_be_thicker_however_hot_it_is() -> None:
    """5 m of 2.5 mm² have 40 mohm at 20 °C (IEC 60228 class 5: 7.98 ohm/km), and a quarter more at 85 °C: more than
    half of what is allowed, but none of it in joints, meters and fuses."""
    finding, = of(with_value(car(12, "60 A", "2.5 mm2", "5 m", "0.2 m"), path_of("zone.cabin.ambient"), "85 degC"))
    assert finding.fix.startswith("a thicker or shorter wire in place of the alternator cable")
