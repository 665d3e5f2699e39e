"""Published pairs of wire and protector against what is computed of them.

AC 43.13-1B table 11-3 (read): wire gauge, circuit breaker, fuse. 33 CFR 183.425 table 5 and 183.455: No. 16, 105 °C,
25 A, and a protector of at most 150 % of that. A car maker's body-builder manual, 2015: load, fuse, cross-section.
"""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.stock import ladder
from fuseplan.tables.ampacity import protector_rows
from tests.plans import plan_of
from tests.protection.small import data

PRINTED = protector_rows("ac43_t11_3")
FAA = [(name, float(fuse)) for name, fuse in zip(PRINTED.names, PRINTED.fuse_a.tolist(), strict=True)
       if fuse in ladder("blade")]
BODY = protector_rows("bodybuilder_2015")
BODY_BUILDER = [(float(area), float(fuse)) for area, fuse in
                zip(BODY.area_mm2.tolist(), BODY.fuse_a.tolist(), strict=True)
                if fuse in ladder("blade")]


def _pair(size: str, fuse_a: float, length: str = "3 m", by: str | None = None) -> Assessment:
    return assess(plan_of(data(kind="blade", rating=f"{fuse_a} A", size=size, length=length, insulation="xlpe125",
                               load={"current": "1 A"})), by)


@pytest.mark.parametrize(("gauge", "fuse_a"), FAA)
def test_wires_outlive_their_printed_fuse(gauge: str, fuse_a: float) -> None:
    view = _pair(f"AWG {gauge}", fuse_a).circuit("lamp")
    assert view.fault.max_clearing_s <= 5.0
    assert view.fault.wire_survives is True


@pytest.mark.parametrize(("area_mm2", "fuse_a"), BODY_BUILDER)
def test_cross_sections_outlive_their_printed_fuse(area_mm2: float, fuse_a: float) -> None:
    view = _pair(f"{area_mm2:g} mm2", fuse_a).circuit("lamp")
    assert view.fault.max_clearing_s <= 5.0
    assert view.fault.wire_survives is True


def test_the_tables_were_looped_over() -> None:
    assert len(FAA) >= 5
    assert len(BODY_BUILDER) >= 4


@pytest.mark.parametrize(("gauge", "fuse_a"), FAA)
def test_aircraft_limit_set_allows_the_printed_fuse_and_no_larger(gauge: str, fuse_a: float) -> None:
    assert _pair(f"AWG {gauge}", fuse_a, by="aircraft").circuit("lamp").fuse.range_a.high == pytest.approx(fuse_a)


def test_small_craft_allows_150_percent() -> None:
    # The printed class at or below that of the insulation, 125 °C, which is no lower than the 105 °C row's 25 A.
    view = _pair("AWG 16", 15.0, by="small_craft").circuit("lamp")
    assert view.fuse.range_a.high == pytest.approx(1.5 * view.segments[0].ampacity_a)
    assert view.fuse.range_a.high >= 37.5
