"""Makes the program fail on purpose."""

from __future__ import annotations

import pytest

from fuseplan.checks import assessment as assessing
from fuseplan.workspace import session as sessions

BAD = "Bad name"
"""A plan that holds this cannot be assessed once `break_assessment` was called."""


def break_assessment(monkeypatch: pytest.MonkeyPatch, kind: type[Exception] = ZeroDivisionError) -> None:
    """Make the assessment fail on plans that hold `BAD`."""

    def assess(plan: object, *rest: object) -> object:
        if BAD in repr(plan):
            raise kind("for the test")
        return assessing.assess(plan, *rest)

    monkeypatch.setattr(sessions, "assess", assess)


def bad(text: str) -> str:
    return text.replace('name = "Fuel pump"', f'name = "{BAD}"', 1)
