"""The guidances a plan can be judged by."""

from __future__ import annotations

from fuseplan.guidance import Guidance, names
from fuseplan.session.session import Session
from fuseplan.store.guidance_files import find_guidance, own_names


def all_guidances(session: Session) -> list[Guidance]:
    """The plan's own guidance first, then all that are shipped, then the user's own; raises GuidanceError."""
    path, own = session.document.path, session.assessment.guidance
    others = dict.fromkeys((*names(), *own_names(path)))
    return [own, *(find_guidance(name, path) for name in others if name != own.name)]
