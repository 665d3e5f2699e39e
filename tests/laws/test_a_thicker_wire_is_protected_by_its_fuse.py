"""The size named for a wire that carries too much is one that the fuse before it protects, or the smaller one named
with it: fitted together, they leave no wire that can burn behind its fuse."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value
from tests.laws.test_silence_never_helps import GOOD
from tests.plans import path_of

OVERLOADED = ("feed-overloaded", "wire-overloaded")
BURNS = {*OVERLOADED, "fuse-exceeds-wire", "wire-damaged-by-short"}


@pytest.mark.parametrize(("owner", "size", "fuse"), [
    (("feed", "bus"), "1.5 mm2", "30 A"), (("feed", "bus"), "1.5 mm2", "50 A"), (("feed", "bus"), "2.5 mm2", "80 A"),
    (("circuit", "fan"), "0.75 mm2", "20 A"), (("circuit", "fan"), "1.5 mm2", "40 A"),
])
def test_fitting_what_the_fix_names_leaves_nothing_that_burns(owner: tuple[str, str], size: str, fuse: str) -> None:
    data: Any = with_value(tomllib.loads(GOOD), (*owner, "wire", 0, "size"), size)
    data = with_value(with_value(data, (*owner, "fuse", "rating"), fuse), (*owner, "fuse", "kind"), "maxi")
    data = with_value(data, ("circuit", "fan", "load", 0, "current"), "22 A")
    found = [each for each in assess(Plan.model_validate(data)).findings if each.subject == owner[1]]
    finding, = (each for each in found if each.check in OVERLOADED and each.values)
    size_key = ".".join((*owner, "wire.0.size"))
    named = dict(finding.values)[size_key]
    leading = finding if finding.cause is None else assess(Plan.model_validate(data)).findings[finding.cause]
    told = re.search(r"fit ([\d.]+) mm² (?:with \w+ insulation )?in ", leading.fix)
    assert told is not None
    assert float(told[1]) >= float(named.split()[0])
    mended = data
    for path, value in {**dict(finding.values), **dict(leading.values)}.items():
        mended = with_value(mended, path_of(path), value)
    after = assess(Plan.model_validate(mended))
    assert not [(each.check, each.message) for each in after.findings if each.subject == owner[1]
                and each.check in BURNS and size_key in each.fields and not each.measure]
