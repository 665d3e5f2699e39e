"""Why published sets of limits disagree on a circuit, in words from their own data and the figures they led to."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.limits import LimitSet
from fuseplan.quantities import writing
from fuseplan.results.segment import SegmentResult
from fuseplan.tables import factors

_DROP_CHECKS = {"voltage-drop", "low-lamp-voltage"}


def tightest_wire(view: JudgedCircuit) -> SegmentResult | None:
    """The supply wire with the smallest ampacity on file; None where none is."""
    known = [(each.ampacity_a, each) for each in view.segments if each.side == "supply" and each.ampacity_a is not None]
    return min(known, key=lambda pair: pair[0])[1] if known else None


def reasons(views: Sequence[JudgedCircuit]) -> tuple[str, ...]:
    """Sentences, each setting all sets of limits against each other on one point; points on which they agree are left
    out."""
    points: tuple[tuple[str, Callable[[JudgedCircuit], str], bool], ...] = (
        ("Wire", _wire, True),
        ("Conductors in one run", _group, _run_matters(views)),
        ("Fuse against wire", lambda view: _fuse_against_wire(view.assessment.limit_set), _windows_differ(views)),
        ("Fuse against load", _fuse_against_load, any(view.fuse is not None for view in views)),
        ("Drop", _drop, _drop_matters(views)),
        ("Lamps", lambda view: _lamps(view.assessment.limit_set), _lamps_matter(views)),
        ("Nothing on file", _nothing_on_file, True),
        ("Not known", _not_known, any(view.verdict == "unknown" for view in views)),
    )
    found = []
    for title, words, matters in points:
        said = [(view.assessment.limit_set.name, words(view)) for view in views] if matters else []
        if len({each for _, each in said}) > 1:
            found.append(f"{title}: " + "; ".join(f"{name}, {each}" for name, each in said if each) + ".")
    return tuple(found)


def _nothing_on_file(view: JudgedCircuit) -> str:
    """Of the circuit's own parts; of the ways to and from it where its own are all on file."""
    assessment = view.assessment
    return "; ".join(assessment.unlisted(view.id) or assessment.unlisted_with_ways(view.id))


def _not_known(view: JudgedCircuit) -> str:
    """Why a verdict is unknown where the set has everything on file."""
    return "" if _nothing_on_file(view) else "; ".join(view.assessment.why_unknown(view.id))


def _wire(view: JudgedCircuit) -> str:
    wire = tightest_wire(view)
    if wire is None:
        return "no current on file" if any(each.side == "supply" for each in view.segments) else ""
    segments = view.assessment.results.network.segments
    rated = segments.rated[wire.index]
    if rated is None or wire.ampacity_a is None:
        return "no current on file"
    table = "a table that does not print its temperature" if rated.printed_c is None else (
        f"the {writing.stated(rated.printed_c, '°C')} class of a table by class" if rated.by_class
        else f"a {writing.stated(rated.printed_c, '°C')} table")
    words = [f"{writing.limit(wire.ampacity_a, 'A')} for {writing.wire_size(wire.segment.size)} from "
             f"{writing.rating(rated.base_a)} of {table} ({rated.source.document}, {rated.source.place})"]
    pairs = np.flatnonzero(segments.pair_segment == wire.index)
    factor = float(segments.pair_factor[pairs].min())
    if abs(factor - 1.0) > 5e-3:
        words.append(f"× {writing.limit(factor, 'factor')} for {writing.burden(wire.ambient_c, '°C')}")
    if (segments.pair_single_a[pairs] < segments.pair_table_a[pairs]).any():
        words.append("cut by the heat balance")
    if (grouped := _grouped(view, wire)) < 1.0:
        words.append(f"× {writing.limit(grouped, 'factor')} for the conductors beside it")
    return " ".join(words)


def _grouped(view: JudgedCircuit, wire: SegmentResult) -> float:
    return float(view.assessment.limit_set.group_factor(np.array([wire.conductors]))[0])


def _run_matters(views: Sequence[JudgedCircuit]) -> bool:
    return any((wire := tightest_wire(view)) is not None and wire.conductors > 1 for view in views)


def _group(view: JudgedCircuit) -> str:
    rule, wire = view.assessment.limit_set.group, tightest_wire(view)
    if wire is None:
        return ""
    if rule.table is None:
        return "no factor printed"
    least = f"more than {writing.stated(rule.counted_from, 'share')} of what they may together"
    share = f" that carry {least if rule.counted_from else 'current'}"
    return (f"conductors{share} are counted, {wire.conductors} here{factors.conductors_count_as(rule.table)}, factor "
            f"{writing.limit(_grouped(view, wire), 'factor')}")


def _windows_differ(views: Sequence[JudgedCircuit]) -> bool:
    return len({None if view.fuse is None else view.fuse.range_a.high for view in views}) > 1


def _fuse_against_wire(limit_set: LimitSet) -> str:
    if limit_set.fuse.wire_table is not None:
        return "the fuse printed for the wire area"
    return f"at most {writing.stated(limit_set.fuse.wire_multiple or 1.0, 'share')} of what the wire may carry"


def _fuse_against_load(view: JudgedCircuit) -> str:
    fuse = view.fuse
    if fuse is None:
        return ""
    rule = view.assessment.limit_set.fuse
    k = float(view.assessment.limit_set.fuse_k(np.array([fuse.ambient_c]))[0])
    if np.isnan(k):
        return f"no curve for a holder at {writing.burden(fuse.ambient_c, '°C')}"
    words = f"{writing.limit(rule.continuous_share * k, 'share')} of the rating for a lasting load"
    return words if rule.ambient == "none" else \
        (f"{words} ({writing.stated(rule.continuous_share, 'share')} × {writing.limit(k, 'factor')} at "
         f"{writing.burden(fuse.ambient_c, '°C')})")


def _drop_matters(views: Sequence[JudgedCircuit]) -> bool:
    failed = {frozenset(each.check for each in view.findings) & _DROP_CHECKS for view in views}
    return len(failed) > 1 and any(view.drop is not None for view in views)


def _drop(view: JudgedCircuit) -> str:
    drop = view.drop
    if drop is None:
        return ""
    if drop.limit_v is None:
        return "no limit for this kind of circuit"
    both = view.assessment.limit_set.drop_covers_return
    return f"{writing.limit(drop.limit_v, 'V')} for {'both leads together' if both else 'the supply lead alone'}"


def _lamps_matter(views: Sequence[JudgedCircuit]) -> bool:
    return any(load.kind == "lamp" for load in views[0].circuit.load) and _drop_matters(views)


def _lamps(limit_set: LimitSet) -> str:
    share = limit_set.drop.lamp_share
    if share is None:
        return "no least voltage"
    return f"at least {writing.stated(share, 'share')} of the lamp's design voltage"
