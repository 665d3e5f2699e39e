"""A plan with the changes of a proposal, and where its parts stand in it."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.advice.proposal import reason_for_no_fuse
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.putting import Plain, put, typed
from fuseplan.plan.references import Path


def changed(plan: Plan, values: Mapping[Path, Plain]) -> Plan:
    """The plan with values put in their places; the paths but for their last step must exist."""
    for path, value in values.items():
        plan = put(plan, path, typed(path, value))
        if (reason := reason_for_no_fuse(path, plan)) is not None:
            plan = put(plan, reason, None)
    return plan


def owner_key(owner: tuple[str, str]) -> Path:
    """Where a circuit, feed, earth or the alternator stands in the plan."""
    return owner if owner[1] else owner[:1]


def segment_key(results: Results, index: int) -> Path:
    """Where a segment stands in the plan."""
    segments = results.network.segments
    steps = (int(step) if step.isdigit() else step for step in segments.place[index].split("."))
    return (*owner_key(segments.owner[index]), *steps)
