"""A finding names the figure it is about and the one it is held against, by their addresses."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.checks import assess
from fuseplan.checks.explain.working import workings
from fuseplan.checks.rule import all_rules
from fuseplan.limits import names
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.results.address import FigureSpot, find
from fuseplan.results.part import Figure

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))


@pytest.mark.one_in(4)
@pytest.mark.parametrize("limit_set", names())
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_address_in_a_finding_leads_to_its_number(path: Path, limit_set: str) -> None:
    assessment = assess(read_plan(path), limit_set)
    plain = {(each.check, each.subject): each for each in assessment.findings}
    whole = assessment.whole
    for row in assessment.to_dict()["findings"]:
        declared = all_rules()[row["check"]].figures
        for address, value, place in ((row["address"], row["figure"], 0), (row["limit_address"], row["limit"], 1)):
            if address is None:
                continue
            spot = find(whole, address)
            assert isinstance(spot, FigureSpot), address
            assert spot.value == pytest.approx(value), row["check"]
            assert spot.declaration in {pair[place] for pair in declared}
        # The fuse before a coil wire is that of the coil's feed, whatever circuit its relay is of; that before a
        # circuit without one of its own is that of a feed.
        coil = "coil wire" in row["message"]
        if row["address"] and row["subject_kind"] == "circuit" and row["check"] != "not-selective" and not coil:
            circuit = assessment.plan.circuit[row["subject"]]
            ahead = row["check"] == "fuse-exceeds-wire" and circuit.fuse is None
            assert row["address"].startswith("feeds." if ahead else f"circuits.{row['subject']}."), row
    assert plain or assessment.exit_status == 0


def test_most_numbers_held_against_a_limit_as_entered_have_an_address() -> None:
    found = [row for path in EXAMPLES for row in assess(read_plan(path)).to_dict()["findings"]
             if row["figure"] is not None and not row["measure"] and row["level"] != "advice"]
    assert len(found) > 10
    assert sum(row["address"] is not None for row in found) >= 0.8 * len(found)


def test_the_limit_stands_next_to_the_figure() -> None:
    """Two conditions with the same output at idle: each finding has that of its own condition."""
    found = [row for row in assess(read_plan(shipped_folder("examples") / "coupe_turbo.toml")).to_dict()["findings"]
             if row["check"] == "discharge-while-running" and row["limit_address"]]
    assert len(found) > 1
    assert {row["address"].rpartition(".")[0] == row["limit_address"].rpartition(".")[0] for row in found} == {True}


def test_what_a_check_declares_is_a_figure_that_can_be_explained() -> None:
    declared = {each for rule in all_rules().values() for pair in rule.figures for each in pair if each is not None}
    assert len(declared) > 20
    for each in declared:
        assert isinstance(each, Figure)
        assert each in workings(), each


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize("limit_set", names())
def test_what_stands_beside_the_drop_limit_is_what_it_is_for(limit_set: str) -> None:
    """Above the limit in the lists means a finding, and only then: whichever part of the drop the set judges."""
    seen = 0
    for path in EXAMPLES:
        assessment = assess(read_plan(path), limit_set)
        found = {row["subject"]: row for row in assessment.to_dict()["findings"]
                 if row["check"] == "voltage-drop" and row["address"] and row["limit_address"]}
        for subject, row in found.items():
            assert row["address"] == f"circuits.{subject}.drop.judged_v"
            assert row["limit_address"] == f"circuits.{subject}.drop.limit_v"
        rows = assessment.circuits_frame()
        at = list(rows.columns).index("drop.judged_v")
        assert rows.columns[at + 1] == "drop.limit_v"
        above = rows[rows["drop.judged_v"] > rows["drop.limit_v"]]
        seen += len(rows)
        assert set(found) <= set(above["id"])
        # Of a circuit with several loads the finding may be about another than the one with the largest total drop.
        assert set(above["id"]) <= {each.subject for each in assessment.findings if each.check == "voltage-drop"}
    assert seen
