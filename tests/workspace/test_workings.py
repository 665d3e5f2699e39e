"""Which figures a part has, in groups, and which of them stands behind a finding."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.explain import explain
from fuseplan.results import address
from fuseplan.results.address import figures
from fuseplan.results.part import Nested
from fuseplan.workspace.session import Session
from fuseplan.workspace.workings import WHOLE, Subject, behind, figures_of, subjects

CAR = Path(__file__).parents[1] / "tui" / "car.toml"


@pytest.fixture(scope="module")
def session() -> Session:
    return Session.of_text(CAR.read_text(encoding="utf-8"))


def test_every_figure_of_a_part_is_listed_once(session: Session) -> None:
    seen = 0
    for kind in ("circuit", "feed", "earth"):
        for name in getattr(session.plan, kind):
            listed = [each.address for _, members in figures_of(session.assessment, (kind, name)) for each in members]
            expected = {each.address for each in figures(session.assessment.whole)
                        if each.address.startswith(f"{kind}s.{name}.")}
            assert len(listed) == len(set(listed))
            assert set(listed) == expected
            seen += len(listed)
    assert seen > 100


@pytest.mark.parametrize("subject", [("circuit", "fan"), ("condition", "crank"), WHOLE])
def test_the_parts_of_the_result_are_gathered_once(session: Session, subject: Subject,
                                                   monkeypatch: pytest.MonkeyPatch) -> None:
    """Not once more for each circuit: the time would grow with the square of the plan."""
    gathered: Counter[tuple[str, ...]] = Counter()
    members = address._members

    def counted(spot: address.Spot, declaration: Nested[Any]) -> Iterator[address.Spot]:
        gathered[(*spot.steps, declaration.key)] += 1
        return members(spot, declaration)

    monkeypatch.setattr(address, "_members", counted)
    assert figures_of(session.assessment, subject)
    assert set(gathered.values()) == {1}


def test_every_figure_of_the_cars_power_belongs_to_a_part_or_to_the_whole_car_alone(session: Session) -> None:
    """Of no part of its own: what the limits and the plan state for all of them."""
    def listed(subject: Subject) -> set[str]:
        return {each.address for _, members in figures_of(session.assessment, subject) for each in members}

    whole, parts = listed(WHOLE), [subject for subject, _ in subjects(session.assessment) if subject != WHOLE]
    assert {each.address for each in figures(session.assessment.whole)} == whole.union(*map(listed, parts))
    alone = whole.difference(*map(listed, parts))
    assert {address.count(".") for address in alone} == {1}
    assert {each.partition(".")[0] for each in alone} == {"power"}


def test_a_condition_lists_the_circuits_that_draw_a_current_in_it(session: Session) -> None:
    for condition, circuits in (("parked", set()), ("crank", {"fuel_pump"}), ("cruise_day", {"fuel_pump", "radio"})):
        groups = dict(figures_of(session.assessment, ("condition", condition)))
        assert {each.steps[1] for each in groups.get("Currents of the circuits", [])} == circuits, condition


def test_groups_go_by_what_one_asks_for(session: Session) -> None:
    groups = dict(figures_of(session.assessment, ("circuit", "fan")))
    assert next(iter(groups)) == "Current"
    assert {each.steps[2] for each in groups["Fuse"]} == {"fuse"}
    wires = {each.address for each in groups["Wires"]}
    assert {"circuits.fan.segments.0.ampacity_a", "circuits.fan.segments.0.current_a"} <= wires
    assert "circuits.fan.in_condition.crank.load_v.0" in {each.address for each in groups["In each condition"]}


def test_every_subject_has_figures_that_can_be_explained(session: Session) -> None:
    for subject, _ in subjects(session.assessment):
        groups = figures_of(session.assessment, subject)
        assert groups, subject
        for _, members in groups:
            assert explain(session.assessment, members[0]).figure is members[0]


def test_an_id_with_a_dot_keeps_its_figures_to_itself() -> None:
    text = CAR.read_text(encoding="utf-8").replace("[circuit.radio]", '[circuit."fan.two"]').replace(
        "[[circuit.radio.load]]", '[[circuit."fan.two".load]]')
    session = Session.of_text(text)
    listed = [each.address for _, members in figures_of(session.assessment, ("circuit", "fan")) for each in members]
    assert listed
    assert not any(address.startswith(("circuits.fan.two.", 'circuits."fan.two"')) for address in listed)


def test_most_findings_with_a_figure_lead_to_it(session: Session) -> None:
    asked = [each for each in session.assessment.findings if each.figure is not None and not each.measure
             and each.unit in ("A", "V") and each.subject_kind in ("circuit", "feed", "alternator", "battery")]
    found = [behind(session.assessment, each) for each in asked]
    assert asked
    hits = [figure for figure in found if figure is not None]
    assert len(hits) >= len(asked) / 2
    for each, figure in zip(asked, found, strict=True):
        if figure is not None:
            assert figure.value in (pytest.approx(each.figure), pytest.approx(each.limit))
