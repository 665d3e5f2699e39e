"""A plan that many tests open is read, assessed and given proposals by the first of them in each process.

What a test changes is read and assessed as ever, by the program's own functions.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks import assessment as assessing
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.limits.model import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.planfile import document as documents
from fuseplan.planfile.document import Snapshot
from fuseplan.workspace import bench as benches
from fuseplan.workspace import proposals
from fuseplan.workspace import session as sessions

KEPT = 16
"""Of so many plans, those read last."""

_read: dict[str, Snapshot] = {}
_judged: dict[tuple[int, int], Assessment] = {}
_proposed: dict[tuple[Assessment, str | None, bool], Proposal] = {}
_read_anew = documents._snapshot


def _read_once(text: str, file: str) -> Snapshot:
    found = _read.pop(text, None) or _read_anew(text, file)
    _read[text] = found
    if len(_read) > KEPT:
        del _read[next(iter(_read))]
    return found


def _judged_once(plan: Plan, by: str | LimitSet | None = None, after: Assessment | None = None) -> Assessment:
    if after is not None or isinstance(by, str):
        return assess(plan, by, after)
    # What is kept holds plan and limits, so that no other can have their identities.
    found = _judged.pop((id(plan), id(by)), None) or assess(plan, by)
    _judged[id(plan), id(by)] = found
    if len(_judged) > KEPT:
        del _judged[next(iter(_judged))]
    return found


def _proposed_once(plan: Plan, limit_set: LimitSet, circuit: str | None = None,
                   progress: Callable[[int, int], None] | None = None, *, look_for_savings: bool = True) -> Proposal:
    if (id(plan), id(limit_set)) not in _judged:
        return propose(plan, limit_set, circuit, progress, look_for_savings=look_for_savings)
    key = (_judged[id(plan), id(limit_set)], circuit, look_for_savings)
    found = _proposed.pop(key, None) or propose(plan, limit_set, circuit, progress, look_for_savings=look_for_savings)
    _proposed[key] = found
    if len(_proposed) > KEPT:
        del _proposed[next(iter(_proposed))]
    return found


def open_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let sessions, commands and documents of a test begin with what an earlier test opened."""
    monkeypatch.setattr(documents, "_snapshot", _read_once)
    for module in (assessing, benches, sessions):
        monkeypatch.setattr(module, "assess", _judged_once)
    monkeypatch.setattr(proposals, "propose", _proposed_once)
