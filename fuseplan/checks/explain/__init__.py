"""The working behind any figure: symbols, numbers, result, unit, table row or choice, and where each was published."""

from fuseplan.checks.explain.figures import Figure, Working, explain, figures

__all__ = ["Figure", "Working", "explain", "figures"]
