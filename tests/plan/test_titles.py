"""What a part of the plan is called where it is shown."""

from __future__ import annotations

import pytest

from fuseplan.plan.part_names import title_of
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan


@pytest.mark.parametrize(("kind", "name", "title"), [
    ("circuit", "fans", "Radiator fans, both"), ("circuit", "no_such", "no_such"),
    ("condition", "idle_wet_night", "Idle, wet night"), ("feed", "charge_stud", "Stud box on the inner wing"),
    ("alternator", "alternator", "alternator"), ("battery", "battery", "battery"), ("plan", "plan", "plan"),
])
def test_title(kind: str, name: str, title: str) -> None:
    assert title_of(read_plan(shipped_folder("examples") / "coupe_turbo.toml"), kind, name) == title
