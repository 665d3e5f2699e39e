"""A fuse that is too large for its wire and too small for its load: the wire that is named suits the fuse that carries
the load, and both together leave neither fault."""

from __future__ import annotations

import re

import pytest

from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from fuseplan.plan.references import Path
from tests.advice.worlds import one
from tests.plans import path_of

FAULTS = {"fuse-exceeds-wire", "fuse-too-small"}


def plan(current: str, load: str = "", fuse: str = "") -> Plan:
    return one('size = "0.75 mm2"', f'fuse = {{ kind = "blade", rating = "20 A" {fuse} }}', current, load=load)


def of_one(assessment: Assessment) -> dict[str, Finding]:
    return {each.check: each for each in assessment.findings if each.subject == "one" and not each.measure}


@pytest.mark.parametrize("current", ["16 A", "18 A", "20 A"])
def test_wire_and_fuse_of_one_fix_leave_neither_fault(current: str) -> None:
    entered = plan(current)
    assessment = assess(entered, "road")
    found = of_one(assessment)
    assert set(found) >= FAULTS
    assert found["fuse-too-small"].cause == assessment.findings.index(found["fuse-exceeds-wire"])
    fix = found["fuse-exceeds-wire"]
    values: dict[Path, str] = {path_of(path): value for path, value in fix.values}
    assert {path[-1] for path in values} == {"size", "rating"}
    then = f" in place of the wire of one (0.75 mm²), and then {values['circuit', 'one', 'fuse', 'rating']}"
    assert fix.fix.endswith(then)
    assert f"{then}; " in found["fuse-too-small"].fix
    assert not FAULTS & set(of_one(assess(changed(entered, values), "road")))


@pytest.mark.parametrize("current", ["16 A", "17 A", "22 A"])
def test_the_wire_a_larger_fuse_needs_is_named_with_it(current: str) -> None:
    """The wire is rated for the fuse that is fitted, and not for the one that the load asks for."""
    entered = one('size = "1 mm2"', 'fuse = { kind = "blade", rating = "15 A" }', current)
    found = of_one(assess(entered, "road"))["fuse-too-small"]
    values: dict[Path, str] = {path_of(path): value for path, value in found.values}
    assert {path[-1] for path in values} == {"size", "rating"}
    assert found.fields[0].endswith("wire.0.size")
    assert not FAULTS & set(of_one(assess(changed(entered, values), "road")))


def test_a_larger_type_is_named_alike_beside_wire_and_load() -> None:
    found = of_one(assess(plan("24 A"), "road"))
    fuse = "a 40 A maxi blade fuse in a holder of its own"
    assert found["fuse-exceeds-wire"].fix.endswith(f", and then {fuse}")
    assert found["fuse-too-small"].fix.startswith(f"{found['fuse-exceeds-wire'].fix}; ")


@pytest.mark.parametrize(("load", "fuse", "then"), [
    ("", "", "25 A"), ('max_fuse = "20 A"', "", None),
    ("", ', holder = "blade_in_line"', "25 A in a standard blade in-line holder, heavy duty (blade_in_line_heavy)"),
])
def test_no_larger_fuse_is_named_than_maker_or_seat_allows(load: str, fuse: str, then: str | None) -> None:
    fix = of_one(assess(plan("18 A", load, fuse), "road"))["fuse-exceeds-wire"].fix
    named = re.search(r", and then (.+)$", fix)
    assert (named and named[1]) == then


@pytest.mark.parametrize("size", ["0.75 mm2", "10 mm2", "95 mm2"])
@pytest.mark.parametrize("current", ["60 A", "90 A", "200 A"])
def test_no_wire_is_to_be_replaced_by_its_own_size_where_no_fuse_of_the_type_is_large_enough(size: str,
                                                                                             current: str) -> None:
    found = of_one(assess(one(f'size = "{size}"', 'fuse = { kind = "strip", rating = "60 A" }', current), "road"))
    assert "fuse-too-small" in found
    for each in found.values():
        assert f"({wire_words(size)})" not in each.fix or f"fit {wire_words(size)} in place" not in each.fix, each.fix
        assert each.fix.count("smallest fuse for the load") <= 1, each.fix


def wire_words(size: str) -> str:
    return size.replace("mm2", "mm²")


@pytest.mark.parametrize("fuse", ["", ', rating = "15 A"'])
@pytest.mark.parametrize("size", ["0.75 mm2", "1 mm2", "6 mm2"])
@pytest.mark.parametrize(("current", "most"), [
    ("24 A", "25 A"), ("16.5 A", "24 A"), ("20 A", "20 A"), ("17 A", "22 A")])
def test_where_the_maker_allows_no_fuse_for_the_load_his_figure_is_compared(current: str, most: str, size: str,
                                                                            fuse: str) -> None:
    """Whatever the wire allows: a smaller fuse blows, a larger one is more than the equipment bears."""
    found = of_one(assess(one(f'size = "{size}"', f'fuse = {{ kind = "blade"{fuse} }}', current,
                              load=f'max_fuse = "{most}"'), "road"))
    too_small = [found[check] for check in ("fuse-too-small", "no-fuse-fits") if check in found]
    for each in too_small:
        assert each.fix.startswith("compare the maker's figure"), each.fix
        assert not [path for path in each.fields if path.endswith(".size")]
    assert too_small
