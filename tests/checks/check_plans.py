"""The plans beside each check: the nearest one that passes and the nearest one that fails, in ``plans/``.

A file without a ``fuseplan`` key is a fragment, put behind the base plan.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.planfile.read import parse_plan

FOLDER = Path(__file__).parent / "plans"
BASE = (Path(__file__).parent / "base.toml").read_text(encoding="utf-8")


def passing(name: str) -> str:
    """The whole plan that passes a check, as TOML."""
    return whole((FOLDER / f"{name}.passes.toml").read_text(encoding="utf-8"))


def failing(name: str) -> str:
    """The whole plan that fails a check, as TOML."""
    return whole((FOLDER / f"{name}.fails.toml").read_text(encoding="utf-8"))


def whole(text: str) -> str:
    """A plan as it is, a fragment behind the base plan."""
    return text if "fuseplan =" in text else f"{BASE}\n{text}"


@cache
def failed(name: str) -> Assessment:
    """The assessment of the plan that fails a check, for tests that only read it."""
    return assess(parse_plan(failing(name)))
