"""What a form says about the row under the cursor: what Enter does there, and what may be chosen, counted where not all
of it has room."""

from __future__ import annotations

import pytest

from fuseplan.planfile.library import shipped_folder
from fuseplan.tui.screens.form_help import help_lines
from fuseplan.workspace.choices import choices
from fuseplan.workspace.rows import rows_of
from fuseplan.workspace.session import Session

COUPE = shipped_folder("examples") / "coupe_turbo.toml"
FORMS = (("circuit", "fuel_pump"), ("circuit", "starter"), ("feed", "main_bus"), ("earth", "body_front"),
         ("alternator",), ("battery",), ("vehicle",))


@pytest.mark.parametrize("root", FORMS, ids=lambda root: root[-1])
@pytest.mark.parametrize("untouched", [False, True])
def test_the_words_to_choose_from_are_not_cut(root: tuple[str, ...], untouched: bool) -> None:
    session = Session.open(COUPE)
    seen = 0
    for row in rows_of(session, root):
        *_, last = help_lines(session, row, "", untouched).plain.splitlines() or [""]
        _, found, words = last.partition("F4: ")
        if not found:
            continue
        seen += 1
        listed, _, more = words.partition(" … ")
        shown = listed.split(" · ")
        assert len(last) <= 78 or len(shown) == 1
        left = int(more.split()[0]) if more else 0
        assert len(shown) + left == len(choices(session, row.entry, row.path))
    assert seen


def test_a_row_that_adds_says_so() -> None:
    session = Session.open(COUPE)
    rows = [row for row in rows_of(session, ("circuit", "starter")) if row.kind in ("add_part", "add_item")]
    assert len(rows) > 3
    assert all("Enter adds" in help_lines(session, row, "").plain for row in rows)


def test_what_a_position_of_a_fuse_box_means_is_shown_with_the_way_to_the_others() -> None:
    session, seen = Session.open(COUPE), 0
    for name, circuit in session.plan.circuit.items():
        for row in rows_of(session, ("circuit", name)):
            if circuit.fuse is not None and circuit.fuse.position and row.path[-2:] == ("fuse", "position"):
                *_, last = help_lines(session, row, circuit.fuse.position, True).plain.splitlines()
                assert "it is there now" in last
                assert last.endswith("F4 shows all")
                assert len(last) <= 78
                seen += 1
    assert seen > 20
