"""Figures of every protective device: both ends of its window, rating, share."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.checks.explain import fuse_work
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.rejected import rejected_words
from fuseplan.checks.views import fuse_view

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every protective device."""
    results = assessment.results
    for owner, index in assessment.fuse_of.items():
        view, at = fuse_view(assessment, owner), fuse_work.path_of(results, index)
        if view is None:
            continue
        high_a = float("inf") if view.high_a is None else view.high_a
        window = None if view.low_a is None else fuse_work.window_words(view.low_a, high_a)
        silent = f"limits {assessment.limit_set.name} has nothing on file for it, or the wires behind it have no limit"
        yield Figure(f"{at}.window", f"window of {at}, from load to wire", "A", window,
                     partial(fuse_work.window, results, index), why_unknown=silent)
        yield Figure(f"{at}.window.low", f"smallest rating the load allows for {at}", "A", view.low_a,
                     partial(fuse_work.low, results, index), why_unknown=silent)
        yield Figure(f"{at}.window.high", f"largest rating the wires allow for {at}", "A", view.high_a,
                     partial(fuse_work.high, results, index), why_unknown=silent)
        yield Figure(f"{at}.rating", f"rating of {at}", "A", view.rating_a, partial(fuse_work.rating, results, index),
                     why_unknown="none is given, and none is proposed")
        yield Figure(f"{at}.proposed", f"rating proposed for {at}", "A", view.proposed_a,
                     partial(fuse_work.proposed, results, index),
                     why_unknown=rejected_words(results, index) or "no standard rating lies in the window")
        yield Figure(f"{at}.share", f"continuous demand on {at} as a share of its rating", "-", view.share,
                     partial(fuse_work.share, results, index), why_unknown="no rating is in force")
