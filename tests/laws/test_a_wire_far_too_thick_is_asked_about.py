"""A wire with ten times the copper that its fuse and its drop ask for is named with the size that was likely meant, in
every part that has wires; one that is thick for a reason is not. A wire far from what its terminal is made for is found
beside every terminal on file."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors, terminals
from tests.plans import plan_of
from tests.protection.small import data, found


def _plan(size: str, part: str = "wire", length: str = "2 m", current: str = "3 A", rating: str = "5 A",
          end: dict[str, Any] | None = None) -> Assessment:
    plan = data(size="1.5 mm2", rating=rating, load={"current": current}, insulation="pvc105",
                box={"fuse": {"kind": "maxi", "rating": "40 A"},
                     "wire": [{"size": "6 mm2", "length": "1 m", "zone": "place", "insulation": "pvc105"}]})
    circuit = plan["circuit"]["lamp"]
    wire = {"size": size, "length": length, "zone": "place", "insulation": "pvc105",
            **({} if end is None else {"end": end})}
    if part == "feed":
        plan["feed"]["box"]["wire"] = [wire]
    elif part == "load":
        circuit["load"][0]["wire"] = [wire]
    else:
        circuit[part] = [wire]
    return assess(plan_of(plan))


@pytest.mark.parametrize(("part", "typed", "meant"), [
    ("wire", "35 mm2", "3.5 mm2"), ("wire", "AWG 4", "AWG 14"), ("earth_wire", "25 mm2", "2.5 mm2"),
    ("load", "15 mm2", "1.5 mm2"), ("feed", "100 mm2", "10 mm2")])
def test_ten_times_the_copper_names_the_size_that_was_meant(part: str, typed: str, meant: str) -> None:
    [finding] = found(_plan(typed, part), "improbable-figure")
    assert finding.level == "advice"
    assert f"enter {meant.replace('mm2', 'mm²')} " in finding.fix
    assert finding.fields[0].endswith(".size")
    assert not found(_plan(meant, part), "improbable-figure")


def test_a_wire_that_is_thick_for_a_reason_is_not_asked_about() -> None:
    assert not found(_plan("6 mm2"), "improbable-figure")
    assert found(_plan("10 mm2", length="2 m"), "improbable-figure")
    # 1 mm² of 8 m would lose 0.4 V.
    assert not found(_plan("10 mm2", length="8 m"), "improbable-figure")
    # 1 mm² is too thin for 40 A.
    assert not found(_plan("10 mm2", rating="30 A"), "improbable-figure")


@pytest.mark.parametrize("terminal", terminals.TERMINALS)
def test_a_wire_far_from_what_its_terminal_is_made_for_is_found(terminal: str) -> None:
    """Thickest and thinnest wires as printed: TE catalogue 82004, p. 3-11; a connector-kit dealer's contact table."""
    least, most = terminals.wires_taken_mm2(terminal).value
    seen = set()
    for size in ("0.13", "0.35", "0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95",
                 "120", "150"):
        wire = WireSize.read(f"{size} mm2")
        area = conductors.conductor(wire.system, wire.name).area_mm2
        wrong = found(_plan(f"{size} mm2", end={"terminal": terminal}), "wire-unfit-for-contact")
        if least <= area <= most:
            assert not wrong, size
        if area > 2.1 * most or area < least / 2.1:
            assert [each.level for each in wrong] == ["warning"], size
            assert ("thick" if area > most else "thin") in wrong[0].message
        seen.add(bool(wrong))
    assert seen == {True, False}
