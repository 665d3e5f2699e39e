"""A part that is begun in its form is asked for what it lacks, and for nothing else."""

from __future__ import annotations

import pytest

from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session


@pytest.mark.parametrize(("kind", "key"), [("feed", "from"), ("earth", "to")])
def test_the_first_of_a_tree_is_its_root_and_comes_from_nowhere(kind: str, key: str) -> None:
    session = Session.of_text("fuseplan = 1\n")
    form = Form(session, (kind, "first"))
    assert key not in form.lacking()
    assert form.type_text((kind, "first", "name"), "The first") == ""
    assert session.has((kind, "first"))
    assert key in Form(Session.of_text(f"fuseplan = 1\n[{kind}.root]\n"), (kind, "second")).lacking()


def test_what_is_missing_says_what_is_accepted() -> None:
    form = Form(Session.of_text("fuseplan = 1\n"), ("feed", "post"))
    assert form.lacking() == ("a first entry, in any field",)
    form.type_text(("feed", "post", "zone"), "boot")
    (missing,) = form.lacking()
    assert missing == ("a correction of zone (names 'boot', which is not a zone of this plan; accepted is a zone "
                       "that the plan has, and it has none yet)")
    assert missing in form.unfinished()
    form.type_text(("feed", "post", "zone"), "")
    form.type_text(("feed", "post", "name"), "Battery post")
    assert form.lacking() == ()
