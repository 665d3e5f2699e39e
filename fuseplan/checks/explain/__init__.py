"""The working behind any figure: symbols, numbers, result, unit, table row or choice, and where each was published."""

from fuseplan.checks.explain.working import Working, explain

__all__ = ["Working", "explain"]
