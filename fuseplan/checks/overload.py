"""Wires against what they carry, for minutes and for a few seconds; for circuits, feeds and earths alike."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.fixes import another_insulation, insulation_first, size_that_carries, wire_field
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged, over_limit
from fuseplan.checks.subjects import segment_subject, segment_words
from fuseplan.checks.unlisted import segment_unlisted
from fuseplan.engine.demand import Demands
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.ratios import heated_c
from fuseplan.engine.results import Results
from fuseplan.engine.wiring import Segments
from fuseplan.formulas.thermal import conductor_temperature
from fuseplan.quantities import writing

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

MOMENTARY_S = 5.0
"""Longest time a momentary load is on (aircraft load analysis counts it over 5 s)."""
MOMENTARY_SOURCE = ("adiabatic rise, IEC 60949 with K = 226 for copper (from memory; its k values are printed in IEC "
                    "60364-4-43 table 43A)")


def final_temperature(results: Results, demands: Demands) -> Floats:
    """Conductor temperature after 5 s of everything on, from the steady temperature before it (cases, S) in °C."""
    segments = results.network.segments
    steady = steady_before(segments, demands.lasting, results.segment_limit_a)
    return heated_c(steady, demands.segment[:, FIVE_S]**2 * MOMENTARY_S, segments.area_mm2)


def heats_briefly(results: Results, demands: Demands) -> Flags:
    """Segments that carry more than their ampacity for 5 s (cases, S)."""
    limit = results.segment_limit_a
    return np.asarray(np.isfinite(limit) & (demands.segment[:, FIVE_S] > limit))


def steady_before(segments: Segments, lasting_a: Floats, limit_a: Floats) -> Floats:
    """Conductor temperature in °C before a momentary load, by the square law (…, S): no higher than what the insulation
    is rated for, which also stands where nothing says what the wire may carry."""
    some = np.where(limit_a > 0, limit_a, np.nan)
    steady = np.asarray(conductor_temperature(segments.ambient_c, segments.max_c, lasting_a, some))
    top = np.maximum(segments.max_c, segments.ambient_c)
    return np.asarray(np.clip(np.nan_to_num(steady, nan=np.inf), segments.ambient_c, top))


def _basis(results: Results, index: int) -> str:
    size = results.network.segments.segment[index].size
    rated = None if size is None else results.limit_set.ampacity(size, results.network.segments.insulation[index])
    return results.limit_set.words if rated is None else f"{rated.source.line()}; {rated.basis}"


def _fix(size: str | None) -> str:
    if size is None:
        return "share the current between two wires, each with its own fuse, or move the wire to a cooler place"
    return f"fit {size} in its place"


def overloaded(rule: Rule, results: Results, wanted: Callable[[str], bool]) -> Iterator[Finding | Unjudged]:
    """Findings on the segments whose owner's kind is wanted: the lasting demand against the ampacity, and the heat of
    a momentary demand where the lasting one passes."""
    segments, demands, limit = results.network.segments, results.demands, results.segment_limit_a
    asked = np.array([wanted(kind) for kind, _ in segments.owner], dtype=bool)
    failed = set()
    judged = over_limit(demands.lasting, limit, asked)
    for index in judged.unknown:
        yield rule.unjudged(segment_subject(results, index), segment_unlisted(results, index))
    for index, corner in judged.fails:
        failed.add(index)
        current, most = float(demands.lasting[corner, index]), float(limit[index])
        size = size_that_carries(results, index, current)
        conductors = int(results.solution.loaded[:, index].max())
        shared = f" with {conductors} loaded wires together" if conductors > 1 else ""
        yield rule.finding(
            results, segment_subject(results, index),
            f"{MEASURE_WORDS if corner else ''}{segment_words(results, index)} carries {writing.burden(current, 'A')}; "
            f"at {writing.burden(segments.ambient_c[index], '°C')}{shared} its ampacity is {writing.limit(most, 'A')}",
            figure=current, limit=most, unit="A", measure=bool(corner), source=_basis(results, index),
            fix=insulation_first(results, index, current, _fix(size)), fields=(wire_field(results, index),),
        )
    brief = asked & heats_briefly(results, demands)
    short = final_temperature(results, demands)
    for index, corner in over_limit(short, segments.max_c, np.asarray(brief.any(axis=0))).fails:
        if index in failed:
            continue
        end_c, top_c = float(short[corner, index]), float(segments.max_c[index])
        yield rule.finding(
            results, segment_subject(results, index),
            f"{MEASURE_WORDS if corner else ''}{writing.burden(demands.segment[corner, FIVE_S, index], 'A')} for 5 s "
            f"takes {segment_words(results, index)} to {writing.burden(end_c, '°C')}; its insulation is rated for "
            f"{writing.limit(top_c, '°C')}",
            figure=end_c, limit=top_c, unit="°C", measure=bool(corner), source=MOMENTARY_SOURCE,
            fix=another_insulation(results, index) or "a thicker wire", fields=(wire_field(results, index),),
        )
