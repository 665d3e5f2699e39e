"""Why no rating inside a fuse range is proposed, in words."""

from __future__ import annotations

from itertools import groupby

from fuseplan.engine.proposed_ratings import WORDS
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

FIXES = {
    "far end": "a thicker or shorter wire, or a better earth, so that a short draws more",
    "wire in a short": "a thicker wire",
    "holder": "a holder for a larger fuse",
    "position": "a position that takes a larger fuse",
    "opens at switch-on": "a slower type of fuse, or a thicker wire that allows a larger fuse",
    "own resistance": "a thicker wire that allows a larger fuse",
}
"""What makes a rating fit, by what is wrong with it now."""


def rejected_words(results: Results, index: int) -> str:
    """``10 A may open at switch-on, 15 A and 20 A may not open …``; empty where a rating fits or none was looked at."""
    return "; ".join(
        f"{' and '.join(writing.rating(each.rating_a) for each in group)} {WORDS[reason]}" for reason, group in
        ((reason, list(each)) for reason, each in groupby(results.proposals.rejected.get(index, ()),
                                                          key=lambda each: each.reason)))


def rejected_fix(results: Results, index: int) -> str:
    """What would make a rating fit, for each reason once."""
    return "; or ".join(dict.fromkeys(FIXES[each.reason] for each in results.proposals.rejected.get(index, ())
                                 if each.reason in FIXES))
