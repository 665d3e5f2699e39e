"""What the screens show of the plan as a whole: bars of charging, facts of feeds and earths, sets of limits, hints."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fuseplan.limits import names
from fuseplan.plan.conditions import conditions_of
from fuseplan.workspace.form import Form
from fuseplan.workspace.limit_sets import all_limit_sets
from fuseplan.workspace.overview import overview
from fuseplan.workspace.reports import charging_bars
from fuseplan.workspace.session import Session
from fuseplan.workspace.supply import branches

TEXT = (Path(__file__).parents[1] / "tui" / "car.toml").read_text(encoding="utf-8")
BUS_WIRE = 'length = "1.6 m", '
FAN = """feed = "main_bus"
fuse = { kind = "maxi", rating = "40 A" }
wire = [{ size = "4 mm2\""""


def changed(*pairs: tuple[str, str]) -> Session:
    text = TEXT
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return Session.of_text(text)


def test_there_is_a_bar_for_each_condition_with_the_engine_running_and_for_no_other() -> None:
    session = changed()
    running = [part.name or name for name, part in conditions_of(session.plan).items() if part.state == "running"]
    assert [bar.name for bar in charging_bars(session.assessment)] == running
    assert 2 < len(running) < len(conditions_of(session.plan))


def test_the_plans_own_limits_come_first_and_all_others_once() -> None:
    for own in names():
        found = [each.name for each in all_limit_sets(changed(('limits = "road"', f'limits = "{own}"')))]
        assert found[0] == own
        assert sorted(found) == sorted(names())


def test_a_feed_says_its_current_and_voltage_and_no_voltage_where_the_way_to_it_is_not_known() -> None:
    known, unknown = (next(each.facts for each in branches(session, "feed") if each.id == "main_bus")
                      for session in (changed(), changed((BUS_WIRE, ""))))
    assert re.match(r"up to [\d.]+ A in .*; lowest voltage 12\.\d+ V$", known)
    assert unknown.endswith("; lowest voltage ?")


def test_circuits_of_which_something_is_not_known_are_counted() -> None:
    """Not only those with a gap of their own: behind a bus without a length nothing is known of any."""
    session = changed((BUS_WIRE, ""))
    assert not any(session.assessment.missing(name) for name in session.plan.circuit)
    verdicts = [session.assessment.verdict(name) for name in session.plan.circuit]
    assert overview(session).unknown == verdicts.count("unknown") > 0
    assert overview(changed()).unknown == 0


@pytest.mark.parametrize(("size", "hint"), [
    ("25 mm2", "70 A is proposed"), ("4 mm2", "no standard rating suits both load and wire")])
def test_an_empty_rating_says_what_would_be_fitted_or_that_nothing_fits(size: str, hint: str) -> None:
    session = changed((FAN, FAN.replace(', rating = "40 A"', "").replace("4 mm2", size)))
    path = ("circuit", "fan", "fuse", "rating")
    row = next(row for row in Form(session, path[:2]).rows() if row.path == path)
    assert row.hint == hint


@pytest.mark.parametrize(("role", "hint"), [("starter", "momentary"), ("cooling_fan", "continuous")])
def test_an_empty_use_says_what_is_taken(role: str, hint: str) -> None:
    session = Session.of_text("\n".join((
        "fuseplan = 1", "[feed.post]", "[circuit.c]", f'role = "{role}"', 'feed = "post"', "[[circuit.c.load]]",
        'current = "160 A"', 'when = ["crank"]')))
    path = ("circuit", "c", "load", 0, "use")
    assert next(row for row in Form(session, path[:2]).rows() if row.path == path).hint == hint
