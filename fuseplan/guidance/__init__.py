"""Named sets of published limits a plan is judged by."""

from fuseplan.guidance.model import Guidance, Rated, guidance, names

__all__ = ["Guidance", "Rated", "guidance", "names"]
