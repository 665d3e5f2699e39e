"""However long the names of parts are and wherever they differ, no two parts are called alike where names are cut."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Unjudged
from fuseplan.papers.findings import short_name
from fuseplan.papers.summary import first_page
from fuseplan.planfile.library import shipped_folder
from tests.plans import plan_of

KINDS = ("circuit", "feed", "earth")
NAMES = ("Lamp on the trailer board, number {}, at the rear left", "{} of the side and tail lamps of the trailer board",
         "Side and tail lamps of the trailer board, {}", "Lamp", "alternator", "")


def example(name: str) -> dict[str, Any]:
    return tomllib.loads((shipped_folder("examples") / "boot_battery.toml").read_text(encoding="utf-8")) | {
        "vehicle": {"name": name}}


@pytest.mark.parametrize("name", NAMES)
def test_no_two_parts_are_called_alike(name: str) -> None:
    """Those of different kinds neither; a part without a name is called by its id."""
    data = example(name)
    for kind in KINDS:
        for number, part in enumerate(data[kind].values()):
            part["name"] = name.format(number) or None
        data[kind]["horn"] = next(iter(data[kind].values())) | {"name": None}
    found = assess(plan_of(data))
    parts = [(kind, each) for kind in KINDS for each in data[kind]] + [("alternator", "alternator")]
    called = {part: short_name(Unjudged("", part[1], part[0], ""), found) for part in parts}
    assert len(set(called.values())) == len(called), called


def test_a_part_that_no_other_is_called_like_has_its_name_alone() -> None:
    found = assess(plan_of(example("")))
    for name, circuit in found.plan.circuit.items():
        assert short_name(Unjudged("", name, "circuit", ""), found) == circuit.name


def test_of_feeds_called_alike_when_cut_the_first_page_says_which() -> None:
    """In the sentence that says what to do, and in that on what is nearest its limit."""
    data = example("")
    for number, part in enumerate(data["feed"].values()):
        part["name"] = NAMES[0].format(number)
        part.pop("fuse", None)
    page = " ".join(first_page(assess(plan_of(data)), 400).split())
    assert "Lamp on the" in page
    assert "Lamp on the trailer boar" not in page
