"""What the lines at the head of every screen say."""

from __future__ import annotations

from fuseplan.records import dataclass
from fuseplan.results.condition import worst_running
from fuseplan.workspace.session import Session

PROMISED_S = 1.0
"""Whatever is older than this is kept for recovery, or the screens say that it is not."""


@dataclass(frozen=True)
class Overview:
    """The whole plan in a few figures.

    Attributes:
        unknown: number of circuits whose verdict is unknown
        worst: name of the running condition with the worst balance; None without one
        balance_a: its balance in A, None where it cannot be worked out
        unkept: what is not saved cannot even be kept for recovery
    """

    title: str
    limit_set: str
    system_v: float
    unsaved: bool
    unkept: bool
    danger: int
    warning: int
    advice: int
    measure: int
    unknown: int
    waiting: str
    worst: str | None
    balance_a: float | None


def overview(session: Session) -> Overview:
    """The overview of the plan as it is now."""
    assessment = session.assessment
    worst = worst_running(assessment.conditions)
    return Overview(
        title=session.title, limit_set=assessment.limit_set.name, system_v=float(session.plan.vehicle.system),
        unsaved=session.is_unsaved, unkept=bool(session.unkept) or session.behind_s > PROMISED_S,
        danger=assessment.count("danger"), warning=assessment.count("warning"), advice=assessment.count("advice"),
        measure=assessment.measures,
        unknown=sum(assessment.verdict(name) == "unknown" for name in session.plan.circuit),
        waiting=session.drafts.words, worst=None if worst is None else worst.name,
        balance_a=None if worst is None else worst.balance_a,
    )
