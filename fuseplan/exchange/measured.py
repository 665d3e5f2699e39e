"""What is known better is never replaced by a list that knows it less well."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fuseplan.plan.words import EVIDENCE
from fuseplan.quantities.amounts import clean

FIGURES = ("current", "power", "at")
"""Keys that together say what a load draws."""


def keeps_better(held: Mapping[str, Any], after: Mapping[str, Any], says_how: bool) -> str:
    """Why a load may not get the current or power a list has for it; empty where it may.

    Parameters
    ----------
    held, after : the load as the plan has it, and as the list would leave it
    says_how : the list says how its current is known
    """
    if all(held.get(key) == after.get(key) for key in FIGURES):
        return ""
    known = str(held.get("evidence", "guess"))
    told = str(after.get("evidence", "guess")) if says_how else "guess"
    if known not in EVIDENCE or told not in EVIDENCE or EVIDENCE.index(told) <= EVIDENCE.index(known):
        return ""
    if known != "measured" and not says_how:
        return ""
    source = f" ({clean(held['source'])})" if held.get("source") else ""
    return (f"the plan has a {known} current here{source}, which nothing less well known replaces; accepted is an "
            f"empty cell, or a list that says in a column 'how known' that its own is {known}")
