"""A fix names no rating that holder or position does not take, or it names another one with it; what it names leaves
neither the fault nor a fuse too large for where it sits."""

from __future__ import annotations

import re

import pytest

from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from fuseplan.plan.references import Path
from fuseplan.planfile.read import parse_plan
from fuseplan.tables.terminals import holders
from tests.advice.worlds import one
from tests.checks.check_plans import FOLDER, failing, whole

IN_WORDS = re.compile(r"(?<![\d.])(\d[\d.]*) A(?: \(not in stock\))?(?: in an? [^()]*\((\w+)\)| \(in another (\w+))?")
HOLDERS = {"blade": ("blade_in_line", "blade_in_line_heavy"), "mini": ("mini_in_line",), "maxi": ("maxi_in_line",)}


def plan(kind: str, holder: str, rating: str, current: str, size: str) -> Plan:
    return one(f'size = "{size}"', f'fuse = {{ kind = "{kind}", rating = "{rating}", holder = "{holder}" }}', current)


def named(finding: Finding) -> list[tuple[float, str, str]]:
    """Ratings that a fix says to fit, with the holder it names and the other seat it asks for."""
    fitted = re.split(r"; smallest fuse|, largest for|: the wire allows", finding.fix)[0]
    return [(float(rating), holder, other) for rating, holder, other in IN_WORDS.findall(fitted)]


@pytest.mark.parametrize(("kind", "holder"), [(kind, holder) for kind, fitted in HOLDERS.items() for holder in fitted])
@pytest.mark.parametrize("size", ["1 mm2", "2.5 mm2", "6 mm2", "16 mm2"])
@pytest.mark.parametrize("current", ["13 A", "17 A", "22 A", "41 A"])
def test_a_rating_named_is_one_its_holder_takes(kind: str, holder: str, size: str, current: str) -> None:
    entered, most = plan(kind, holder, "20 A", current, size), holders()[holder].max_a
    assert most is not None
    found = [each for each in assess(entered, "road").findings if each.check in (
        "fuse-too-small", "fuse-exceeds-wire", "wire-overloaded", "no-fuse-fits", "blows-at-switch-on")]
    for finding in found:
        for rating, other, elsewhere in named(finding):
            if rating <= most or elsewhere or "holder of its own" in finding.fix:
                continue
            assert other, finding.fix
            takes = holders()[other]
            assert takes.fuse_kind == kind
            assert takes.max_a is not None
            assert rating <= takes.max_a


def test_fuse_and_holder_named_leave_no_fault() -> None:
    entered = plan("blade", "blade_in_line", "15 A", "17 A", "6 mm2")
    fix, = (each for each in assess(entered, "road").findings if each.check == "fuse-too-small")
    (rating, holder, _), = named(fix)
    assert (rating, holder) == (25.0, "blade_in_line_heavy")
    values: dict[Path, str] = {("circuit", "one", "fuse", "rating"): f"{rating:g} A",
                               ("circuit", "one", "fuse", "holder"): holder}
    after = assess(changed(entered, values), "road")
    assert not [each for each in after.findings if each.check in ("fuse-too-small", "connection-overloaded")]


@pytest.mark.parametrize("current", ["12 A", "14 A"])
def test_a_position_that_takes_no_larger_fuse_is_said(current: str) -> None:
    text = whole((FOLDER / "wrong-fuse-position.passes.toml").read_text(encoding="utf-8"))
    entered = parse_plan(text.replace('"10 A"', f'"{current}"').replace('rating = "20 A"', 'rating = "15 A"'))
    fix, = (each for each in assess(entered, "road").findings if each.check == "fuse-too-small")
    for rating, _, elsewhere in named(fix):
        assert rating <= 20 or elsewhere == "position", fix.fix


@pytest.mark.parametrize(("holder", "takes"), [("blade_in_line", 20.0), ("blade_in_line_heavy", 30.0)])
@pytest.mark.parametrize("current", ["12 A", "14 A", "17 A"])
def test_holder_and_position_are_each_named_where_it_takes_no_larger_fuse(
        holder: str, takes: float, current: str) -> None:
    assert holders()[holder].max_a == takes
    text = whole((FOLDER / "wrong-fuse-position.passes.toml").read_text(encoding="utf-8"))
    entered = parse_plan(text.replace('"glass"', '"blade"').replace('"10 A"', f'"{current}"').replace(
        '"20 A"', '"15 A"').replace('position = "F1"', f'position = "F1", holder = "{holder}"'))
    fix, = (each.fix for each in assess(entered, "road").findings if each.check == "fuse-too-small")
    rating = float(fix.partition("fit ")[2].split()[0])
    assert rating > 15
    assert "in another position: its own takes 15 A at most" in fix, fix
    assert ("in-line" in fix) == (rating > takes), fix
    assert f"({holder})" not in fix, fix


def not_selective(upper: str, lower: str, more: str = "") -> str:
    """The fix of a fuse that may blow before the one below it."""
    text = failing("not-selective").replace('kind = "blade", rating = "40 A"', upper).replace(
        'kind = "mini", rating = "20 A"', lower)
    fix, = (each.fix for each in assess(parse_plan(text + more), "road").findings if each.check == "not-selective")
    return fix


@pytest.mark.parametrize(("upper", "lower", "other", "seat"), [
    ('kind = "blade", rating = "40 A"', 'kind = "mini", rating = "20 A"', "maxi", 0),
    ('kind = "mini", rating = "30 A"', 'kind = "maxi", rating = "15 A"', "mini", 1),
])
def test_a_type_that_makes_fuses_selective_is_one_their_seats_take(upper: str, lower: str, other: str, seat: int
                                                                   ) -> None:
    assert f"A {other} " in not_selective(upper, lower)
    for key in ('position = "F1"', f'holder = "{("blade_in_line_heavy", "maxi_in_line")[seat]}"'):
        seated = [each + (f", {key}" if place == seat else "") for place, each in enumerate((upper, lower))]
        assert f"A {other} " not in not_selective(*seated)


def test_a_larger_fuse_that_makes_fuses_selective_is_one_its_position_takes() -> None:
    upper, lower = 'kind = "mini", rating = "20 A"', 'kind = "mini", rating = "10 A"'
    box = '\n[fuse_box.front]\nfeed = "battery_post"\n[fuse_box.front.position.F1]\nlargest = "{}"\nkind = "mini"\n'
    for largest, takes in (("20 A", False), ("30 A", True)):
        fix = not_selective(f'{upper}, position = "F1"', lower, box.format(largest))
        assert ("fit a 30 A mini" in fix) == takes
        assert ("a 30 A mini blade fuse here is, as far as anything is on file, but its position takes 20 A" in fix) \
            == (not takes)


@pytest.mark.parametrize(("seat", "words"), [
    ('position = "F1"', "position"), ('holder = "mini_in_line"', "holder")])
def test_a_larger_type_than_a_seat_takes_goes_elsewhere(seat: str, words: str) -> None:
    text = failing("fuse-too-small").replace('current = "7.5 A"', 'current = "30 A"').replace(
        'kind = "blade", rating = "7.5 A"', f'kind = "mini", rating = "30 A", {seat}')
    fix, = (each.fix for each in assess(parse_plan(text), "road").findings if each.check == "fuse-too-small")
    assert fix.startswith(f"fit a larger type of fuse than a mini blade fuse in another {words}")
