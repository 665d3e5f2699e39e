"""Figures of every protective device: both ends of its window, rating, share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.rejected import rejected_words
from fuseplan.checks.views import FuseView, fuse_view
from fuseplan.engine.names import part_address
from fuseplan.formulas.working import note
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every protective device."""
    for owner, index in assessment.fuse_of.items():
        view, at = fuse_view(assessment, owner), part_address(owner, "fuse")
        if view is None:
            continue
        silent = f"limits {assessment.limit_set.name} has nothing on file for it, or the wires behind it have no limit"
        yield _window(assessment, at, view, index, silent)
        yield from _figures(assessment, at, view, index, silent)


def _figures(assessment: Assessment, at: str, view: FuseView, index: int, silent: str) -> Iterator[Figure]:
    def figure(key: str, words: str, unit: str, value: float | None, cell: Cell, why: str) -> Figure:
        return Figure(f"{at}.{key}", words, unit, value, traced(assessment, cell, unit=unit), why_unknown=why)

    yield figure("window.low", f"smallest rating the load allows for {at}", "A", view.low_a,
                 lambda results: results.fusing.low_a[0, index], silent)
    yield figure("window.high", f"largest rating the wires allow for {at}", "A", view.high_a,
                 lambda results: results.fusing.high_a[index], silent)
    yield figure("rating", f"rating of {at}", "A", view.rating_a, lambda results: results.fusing.rating_a[index],
                 "none is given, and none is proposed")
    yield figure("proposed", f"rating proposed for {at}", "A", view.proposed_a,
                 lambda results: results.fusing.proposed_a[index],
                 rejected_words(assessment.results, index) or "no standard rating lies in the window")
    yield figure("share", f"continuous demand on {at} as a share of its rating", "-", view.share,
                 lambda results: results.fusing.share[0, index], "no rating is in force")


def _window(assessment: Assessment, at: str, view: FuseView, index: int, silent: str) -> Figure:
    """Both ends as one text."""
    words = None
    if view.low_a is not None:
        low = writing.SMALLEST_FUSE(view.low_a).removesuffix(" A")
        words = f"{low} and up" if view.high_a is None else \
            f"{low} to {writing.LARGEST_FUSE(view.high_a).removesuffix(' A')}"

    def work() -> str:
        assert words is not None
        traced(assessment, lambda results: results.fusing.low_a[0, index])()
        if view.high_a is not None:
            traced(assessment, lambda results: results.fusing.high_a[index])()
        note("Iᵣ", "fuse window, from load to wire", words, "A", "the two ends above")
        return words

    return Figure(f"{at}.window", f"window of {at}, from load to wire", "A", words, work, why_unknown=silent)
