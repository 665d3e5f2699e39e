"""Named sets of published limits a plan is judged by."""

from fuseplan.guidance.model import Guidance, guidance, names, parse
from fuseplan.guidance.rated import Rated

__all__ = ["Guidance", "Rated", "guidance", "names", "parse"]
