"""Judging: every check, and the assessment that carries figures and findings together."""

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import LEVELS, Finding, Rule

__all__ = ["LEVELS", "Assessment", "Finding", "Rule", "assess"]
