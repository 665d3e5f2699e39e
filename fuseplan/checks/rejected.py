"""Why no rating inside a fuse range is proposed, in words."""

from __future__ import annotations

from itertools import groupby

from fuseplan.engine.fault import OPEN_WITHIN_S
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

_WORDS = {
    "far end": f"may not open within {writing.stated(OPEN_WITHIN_S, 's')} on a short at the far end",
    "wire in a short": "lets a short overheat the wire",
    "holder": "is more than its holder takes",
    "position": "is more than its position in the fuse box takes",
    "opens at switch-on": "opens at switch-on",
    "may open at switch-on": "may open at switch-on, by the usual inrush of such a load",
    "own resistance": "no longer passes once its own resistance is counted",
}
FIXES = {
    "far end": "a thicker or shorter wire, or a better earth, so that a short draws more",
    "wire in a short": "a thicker wire",
    "holder": "a holder for a larger fuse",
    "position": "a position that takes a larger fuse",
    "opens at switch-on": "a type that opens more slowly, or a thicker wire that allows a larger fuse",
    "own resistance": "a thicker wire that allows a larger fuse",
}
"""What makes a rating fit, by what speaks against it now."""


def rejected_words(results: Results, index: int) -> str:
    """``10 A may open at switch-on, 15 A and 20 A may not open …``; empty where a rating fits or none was looked at."""
    return "; ".join(
        f"{' and '.join(writing.rating(each.rating_a) for each in group)} {_WORDS[reason]}" for reason, group in
        ((reason, list(each)) for reason, each in groupby(results.fusing.rejected.get(index, ()),
                                                          key=lambda each: each.reason)))


def rejected_fix(results: Results, index: int) -> str:
    """What would make a rating fit, for each reason once."""
    return "; or ".join(dict.fromkeys(FIXES[each.reason] for each in results.fusing.rejected.get(index, ())
                                 if each.reason in FIXES))


def rejected_reason(results: Results, index: int, rating_a: float) -> str:
    """What speaks against one rating: "opens at switch-on"; empty where nothing was found."""
    found = {each.rating_a: _WORDS[each.reason] for each in results.fusing.rejected.get(index, ())}
    return found.get(rating_a, "")
