"""The sets of limits a plan can be judged by."""

from __future__ import annotations

from fuseplan.limits import LimitSet, names
from fuseplan.planfile.limit_files import find_limit_set, own_names
from fuseplan.workspace.session import Session


def all_limit_sets(session: Session) -> list[LimitSet]:
    """The plan's own set of limits first, then all that are shipped, then the user's own; raises LimitsError."""
    path, own = session.document.path, session.assessment.limit_set
    others = dict.fromkeys((*names(), *own_names(path)))
    return [own, *(find_limit_set(name, path) for name in others if name != own.name)]
