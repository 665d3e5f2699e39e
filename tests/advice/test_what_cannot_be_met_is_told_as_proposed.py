"""What cannot be met is told of the plan as it is proposed, not of a fuse or a size that was tried on the way."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.planfile.read import parse_plan

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("feeds", ["main_bus", r"\w+"])
def test_what_cannot_be_met_is_told_of_what_is_proposed(feeds: str) -> None:
    text = (EXAMPLES / "coupe_turbo.toml").read_text(encoding="utf-8")
    unfused = re.sub(rf"^(\[feed\.{feeds}\][^\[]*?^)fuse = .*\n", r"\1", text, flags=re.MULTILINE)
    assert unfused != text
    found = propose(parse_plan(unfused), limit_set("road"), look_for_savings=False)
    findings = {finding.identity: finding for finding in found.after.findings}
    # A load that no rating suits is told by what it asks for, without what the check found.
    judged = [each for each in found.collisions if each.check != "fuse-too-small" and each.identity in findings]
    assert judged
    for each in judged:
        assert each.words.startswith(findings[each.identity].message)
        assert each.fix == findings[each.identity].fix
