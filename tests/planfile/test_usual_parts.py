"""The feeds, earth points and zones of a first plan fit into a plan that lacks them, and bring what they need."""

from __future__ import annotations

import pytest

from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.usual_parts import EXAMPLE, KINDS, usual_names, usual_parts

EMPTY = "fuseplan = 1\n"
OWN_POSTS = EMPTY + '[feed.plus]\nname = "Plus"\n[earth.minus]\nname = "Minus"\n'


@pytest.mark.parametrize("text", [EMPTY, OWN_POSTS], ids=["nothing", "own posts"])
@pytest.mark.parametrize("kind", KINDS)
def test_each_comes_with_what_it_names_and_the_plan_holds_together(kind: str, text: str) -> None:
    names = usual_names(kind)
    assert names
    for name in names:
        document = PlanDocument.from_text(text)
        document.change(usual_parts(document.plan, [(kind, name)]).items())
        plan = document.plan
        for tree in (plan.feed, plan.earth):
            assert sum(part.upstream is None for part in tree.values()) <= 1
        assert getattr(plan, kind)
        assert not usual_parts(plan, [(kind, name)]), "nothing is left to add"


def test_figures_that_are_not_the_cars_own_say_so() -> None:
    parts = usual_parts(PlanDocument.from_text(EMPTY).plan)
    figured = [table for table in parts.values() if table.keys() & {"wire", "fuse", "resistance"}]
    assert figured
    assert all(table["note"] == EXAMPLE for table in figured)


def test_a_part_that_stands_for_one_is_named_in_its_place() -> None:
    parts = usual_parts(PlanDocument.from_text(OWN_POSTS).plan, [("feed", "main_bus")])
    assert parts["feed", "main_bus"]["from"] == "plus"
    assert ("feed", "battery_post") not in parts
