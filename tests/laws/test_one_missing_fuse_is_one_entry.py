"""A circuit without a fuse of its own that its feed's fuse does not protect is one entry with one fix, and that fix
removes all of it."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.causes import remedied_at
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value, without
from tests.laws.test_silence_never_helps import GOOD

PLAIN = {(each.check, each.subject) for each in assess(Plan.model_validate(tomllib.loads(GOOD))).findings}


@pytest.mark.parametrize(("circuit", "size", "fitted"), [
    ("lamps", "2.5 mm2", "20 A"), ("lamps", "1 mm2", "10 A"), ("clock", "1 mm2", "10 A"), ("fan", "4 mm2", ""),
])
def test_one_missing_fuse_is_one_entry_whose_fix_removes_all_of_it(circuit: str, size: str, fitted: str) -> None:
    data: Any = without(tomllib.loads(GOOD), ("circuit", circuit, "fuse"))
    data = with_value(data, ("circuit", circuit, "wire", 0, "size"), size)
    new = [each for each in assess(Plan.model_validate(data)).findings if (each.check, each.subject) not in PLAIN]
    assert len(new) > 2
    assert len([each for each in new if each.cause is None]) == 1
    fixes = {each.fix for each in new}
    assert len(fixes) == 1
    fix = fixes.pop()
    if fitted:
        assert {remedied_at(each) for each in new} == {f"circuit.{circuit}.fuse.rating"}
        most = re.search(r"at most ([\d.]+) A", fix)
        assert most is not None
        assert float(fitted.split()[0]) <= float(most[1])
        mended = with_value(data, ("circuit", circuit, "fuse"), {"kind": "blade", "rating": fitted})
    else:
        assert {remedied_at(each) for each in new} == {"feed.bus.fuse.rating"}
        smaller = re.match(r"fit (\d+ A) at bus", fix)
        assert smaller is not None
        mended = with_value(data, ("feed", "bus", "fuse", "rating"), smaller[1])
    left = {(each.check, each.subject) for each in assess(Plan.model_validate(mended)).findings if not each.measure}
    assert not left & {(each.check, each.subject) for each in new}
