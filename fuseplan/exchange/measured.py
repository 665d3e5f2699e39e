"""What is known better is never replaced by a list that knows it less well."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from fuseplan.plan.words import EVIDENCE, Known
from fuseplan.quantities.amounts import clean
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Knowledge:
    """What of a kind of part may be known more or less well.

    Attributes
    ----------
    words : what it is
    keys : keys that say it
    together : the keys are one statement, of which a new one changes the others; else each stands alone
    how : key that says how it is known
    ranks : what that key may say, the best first; the last where it is left out
    """

    words: str
    keys: tuple[str, ...]
    together: bool
    how: str
    ranks: tuple[str, ...]


OF_LOADS = Knowledge("current", ("current", "power", "at"), True, "evidence", EVIDENCE)
OF_PINS = Knowledge("pin", ("function", "signal", "size", "colour", "other_end", "splice", "length"), False, "known",
                    get_args(Known))


def keeps_better(of: Knowledge, held: Mapping[str, Any], after: Mapping[str, Any], says_how: bool) -> str:
    """Why a part may not get what a list has for it; empty where it may.

    Parameters
    ----------
    of : what is known of it
    held, after : the part as the plan has it, and as the list would leave it
    says_how : the list says how its own is known
    """
    if not any(held.get(key) != after.get(key) for key in of.keys if of.together or key in held):
        return ""
    least = of.ranks[-1]
    known, told = str(held.get(of.how, least)), str(after.get(of.how, least)) if says_how else least
    if known not in of.ranks or told not in of.ranks or of.ranks.index(told) <= of.ranks.index(known):
        return ""
    if known != "measured" and not says_how:
        return ""
    source = f" ({clean(held['source'])})" if held.get("source") else ""
    return (f"the plan has a {known} {of.words} here{source}, which nothing less well known replaces; accepted is an "
            f"empty cell, or a list that says in a column 'how known' that its own is {known}")
