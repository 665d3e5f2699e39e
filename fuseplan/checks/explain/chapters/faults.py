"""Figures of short circuits: circuits, feeds, and every stretch of wire."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.checks.explain import fault_work, order_work
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.places import segment_address
from fuseplan.checks.views import FaultView, fault_view, known, segment_views

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Short circuits of every circuit and feed, and what they do to the wires."""
    results = assessment.results
    for circuit in assessment.circuits:
        if circuit.circuit.out_of_scope is None:
            whole = circuit.current_known and not circuit.missing
            yield from _faults(assessment, ("circuit", circuit.id), circuit.fault if whole else None,
                               partial(fault_work.circuit_far, results, circuit.index))
    for feed in assessment.feeds:
        own = assessment.fuse_of.get(("feed", feed.id), -1)
        far = partial(fault_work.device_far, results, own)
        if own < 0:
            far = partial(fault_work.feed_far, results, feed.id)
        yield from _faults(assessment, ("feed", feed.id), fault_view(assessment, ("feed", feed.id)), far)
    for owner in assessment.segments_of:
        for view in segment_views(assessment, owner):
            at = segment_address(owner, view.place)
            yield Figure(f"{at}.fault", f"smallest short-circuit current through {at}", "A", view.fault_a,
                         partial(fault_work.segment_far, results, view.index), why_unknown="no device guards it")
            yield Figure(f"{at}.fault_temperature", f"hottest {at} gets before its device opens", "°C",
                         view.fault_temperature_c, partial(fault_work.segment_end, results, view.index),
                         why_unknown="no published limits of its device on file, or none guards it")


def _faults(assessment: Assessment, owner: tuple[str, str], view: FaultView | None,
            far: partial[float]) -> Iterator[Figure]:
    results, at = assessment.results, f"{owner[0]}.{owner[1]}.fault"
    own = assessment.fuse_of.get(owner, -1)
    silent = "no device of its own, or no published limits on file"
    if view is None:
        silent = "a figure it rests on is missing"
    yield Figure(f"{at}.far_end", f"current of a short at the far end of {owner[1]}", "A",
                 None if view is None else view.far_end_a, far, why_unknown=silent)
    yield Figure(f"{at}.prospective", f"largest short-circuit current at the fuse of {owner[1]}", "A",
                 None if view is None else view.prospective_a, partial(fault_work.prospective, results, own),
                 why_unknown=silent)
    time = None if view is None or view.opens_within_s is None else known(view.opens_within_s)
    never = view is not None and view.opens_within_s is not None and math.isinf(view.opens_within_s)
    yield Figure(f"{at}.opens_within", f"longest the fuse of {owner[1]} may take for that short", "s", time,
                 partial(fault_work.opens, results, -1 if view is None else view.device, far),
                 why_unknown="the current is below the first printed multiple: it may never open" if never else silent)
    pair = None if view is None else assessment.pair_of.get(view.device)
    if view is None or pair is None:
        yield Figure(f"{at}.order", f"order of the fuse of {owner[1]} and the one above it", "-", None, str,
                     why_unknown="there is no device above it")
        yield Figure(f"{at}.order_from", f"current from which that order is not sure for {owner[1]}", "A", None, str,
                     why_unknown="there is no device above it")
        return
    yield Figure(f"{at}.order", f"order of the fuse of {owner[1]} and the one above it", "-", pair.answer,
                 partial(order_work.order, results, pair))
    yield Figure(f"{at}.order_from", "current from which that order is not sure for "
                                     f"{owner[1]}", "A", known(pair.from_a),
                 partial(order_work.from_a, results, pair), why_unknown="it is sure over the whole range, or unknown")
