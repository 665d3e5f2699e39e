"""Named sets of published limits a plan is judged by."""

from fuseplan.limits.model import LimitSet, limit_set, names, parse
from fuseplan.limits.rated import Rated

__all__ = ["LimitSet", "Rated", "limit_set", "names", "parse"]
