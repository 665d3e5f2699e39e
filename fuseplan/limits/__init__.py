"""Named sets of published limits a plan is judged by."""

from fuseplan.limits.model import LimitSet, ReturnLimit, limit_set, names, parse
from fuseplan.limits.rated import Ceiling, Rated

__all__ = ["Ceiling", "LimitSet", "Rated", "ReturnLimit", "limit_set", "names", "parse"]
