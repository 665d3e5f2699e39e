"""A wire whose insulation stands no more than its place has: no size of it is named as a cure."""

from __future__ import annotations

import re

import pytest

from fuseplan.advice.propose import propose
from fuseplan.checks.assessment import Assessment
from fuseplan.limits import limit_set
from tests.checks.test_rules import assessed

HOT = """
[zone.exhaust]
ambient = "{ambient} degC"
[circuit.w]
feed = "bus"
fuse = {{ kind = "blade"{rating} }}
wire = [{{ size = "4 mm2", length = "4 m", zone = "exhaust", insulation = "pvc105" }}]
earth = "body"
[[circuit.w.load]]
current = "15 A"
kind = "resistive"
when = ["demist"]
use = "{use}"
evidence = "measured"
"""
ON_WIRES = ("wire-overloaded", "fuse-exceeds-wire", "fuse-too-small", "no-fuse-fits")


def hot(ambient: int, use: str = "continuous", rating: str = "") -> Assessment:
    return assessed(HOT.format(ambient=ambient, use=use, rating=f', rating = "{rating}"' if rating else ""))


@pytest.mark.parametrize("ambient", [105, 120])
@pytest.mark.parametrize("use", ["continuous", "momentary"])
@pytest.mark.parametrize("rating", ["", "20 A"])
def test_no_thickness_helps(ambient: int, use: str, rating: str) -> None:
    found = [each for each in hot(ambient, use, rating).findings if each.subject == "w" and each.check in ON_WIRES]
    assert len(found) >= 2
    for each in found:
        assert "carries no current, whatever its size" in each.fix, each.check
        assert "thicker wire" not in each.fix
        assert f"such as {'xlpe125' if ambient == 105 else 'etfe150'}" in each.fix
        assert not any(field.endswith(".size") for field in each.fields), each.check


def test_a_place_20_k_cooler_leaves_the_size_as_the_fix() -> None:
    text = HOT.format(ambient=85, use="continuous", rating="").replace("15 A", "45 A")
    found = [each for each in assessed(text).findings if each.subject == "w" and each.check == "wire-overloaded"]
    assert found
    assert "insulation" not in found[0].fix


@pytest.mark.one_in(5)
@pytest.mark.parametrize(("ambient", "level"), [
    (84, None), (85, None), (86, "warning"), (100, "warning"), (104, "warning"), (105, "danger"), (130, "danger")])
@pytest.mark.parametrize("rating", ["3 A", "5 A", "20 A", "30 A"])
@pytest.mark.parametrize("current", ["0.5 A", "15 A"])
def test_insulation_is_judged_against_its_place_whatever_the_fuse_and_the_current(
        ambient: int, level: str | None, rating: str, current: str) -> None:
    """105 °C insulation; 20 K to spare is common practice, no source."""
    text = HOT.format(ambient=ambient, use="continuous", rating=f', rating = "{rating}"').replace("15 A", current)
    found = [each for each in assessed(text).findings if each.check == "insulation-too-weak" and each.subject == "w"]
    assert [each.level for each in found] == ([level] if level else [])
    for each in found:
        assert each.fields[0].endswith("insulation")
        assert "or move the wire to a cooler place" in each.fix


@pytest.mark.parametrize("ambient", [90, 100, 104, 105])
@pytest.mark.parametrize("rating", ["20 A", "30 A", "40 A"])
def test_a_smaller_fuse_is_never_the_fix_for_insulation_too_weak_for_its_place(ambient: int, rating: str) -> None:
    found = [each for each in hot(ambient, rating=rating).findings if each.check == "fuse-exceeds-wire"]
    assert found or ambient == 90
    for each in found:
        assert not re.match(r"fit [\d.]+ A", each.fix), each.fix
        assert "another insulation" in each.fix


def test_the_proposal_leaves_no_insulation_without_20_k_to_spare() -> None:
    for ambient in (86, 100, 104, 105):
        found = propose(hot(ambient, rating="20 A").plan, limit_set("road"))
        assert "insulation-too-weak" not in {each.check for each in found.after.findings if each.subject == "w"}


def test_the_proposal_gives_it_an_insulation_for_the_place() -> None:
    found = propose(hot(120, rating="20 A").plan, limit_set("road"))
    changes = {change.path[2:]: change.new for change in found.changes}
    assert changes[("wire", 0, "insulation")] == "etfe150"


@pytest.mark.parametrize(("ambient", "told"), [(-20, True), (10, True), (19, True), (20, False), (100, False)])
def test_a_place_planned_for_less_than_any_place_in_a_car_reaches_is_told(ambient: int, told: bool) -> None:
    """10 in place of 100 °C would pass a wire that burns. That every place reaches 20 °C on a hot day: common practice,
    no source."""
    found = hot(ambient, rating="30 A")
    cold = [each for each in found.findings if each.check == "improbable-figure" and each.level == "warning"]
    assert [each.fields for each in cold] == ([("zone.exhaust.ambient",)] if told else [])
    # The first page of a plan shows the fix, and of the message the check alone.
    assert all("exhaust" in each.fix for each in cold)
    burns = [each for each in found.findings if each.subject == "w" and each.level == "danger"]
    assert bool(burns) is (ambient == 100)


THEN = re.compile(r"such as (\w+).*; then fit (\S+ mm²) in place of .*?(?:, | )and then (?:a )?(\d[\d.]*) A( maxi)?",
                  re.DOTALL)
SIZES = ("0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2")


@pytest.mark.parametrize("ambient", [88, 95, 104])
@pytest.mark.parametrize(("size", "current"), [("0.5 mm2", "15 A"), ("1 mm2", "20 A"), ("1.5 mm2", "25 A")])
def test_a_size_named_behind_another_insulation_is_for_that(ambient: int, size: str, current: str) -> None:
    """Insulation, size and fuse of one fix, all entered, leave nothing of it; with the next thinner size on the list
    something is left: no copper is bought for an insulation that goes."""
    text = HOT.format(ambient=ambient, use="continuous", rating=', rating = "25 A"').replace("4 mm2", size).replace(
        'current = "15 A"', f'current = "{current}"')

    def faults(plan: str) -> list[str]:
        return [each.fix for each in assessed(plan).findings
                if each.subject == "w" and each.check in ON_WIRES and not each.measure]

    steps = [found for fix in faults(text) if (found := THEN.search(fix))]
    assert len(steps) >= 2
    assert len({step.groups() for step in steps}) == 1
    for insulation, fitted, rating, is_maxi in {step.groups() for step in steps}:
        named = fitted.replace("mm²", "mm2")
        better = text.replace("pvc105", insulation).replace('rating = "25 A"', f'rating = "{rating} A"')
        better = better.replace('kind = "blade"', 'kind = "maxi"') if is_maxi else better
        assert faults(better.replace(f'"{size}"', f'"{named}"')) == []
        thinner = better.replace(f'"{size}"', f'"{SIZES[SIZES.index(named) - 1]}"')
        assert faults(thinner) or [each for each in assessed(thinner).findings
                                   if each.check == "voltage-drop" and not each.measure]
