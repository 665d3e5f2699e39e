"""How the order of two protective devices in a short circuit came about: whether the lower one surely opens first."""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain.traced import traced
from fuseplan.engine.clearing import greatest_time_s, least_time_s, let_through_a2s, limits
from fuseplan.engine.results import Results
from fuseplan.engine.selectivity import UNHURT_SHARE, Pair
from fuseplan.formulas.working import note
from fuseplan.quantities import writing
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.tables import fuses as fuse_tables

ENVELOPES = "published limits, both envelopes by log-log interpolation between printed points"


def order(part: ShortCircuit, pair: Pair) -> str:
    """Assured, not assured or unknown, with the bands of both devices where it is decided."""
    _range(part, pair)
    if np.isfinite(pair.from_a):
        _bands(part.solved.results, pair, pair.from_a)
    note("w", f"over that range: {pair.why}", pair.answer, "-", ENVELOPES)
    return pair.answer


def from_a(part: ShortCircuit, pair: Pair) -> float:
    """Current from which on the order is not sure."""
    _range(part, pair)
    _bands(part.solved.results, pair, pair.from_a)
    note("I", f"smallest current of the range, or printed step in it, from which the order is not sure: {pair.why}",
         pair.from_a, "A", ENVELOPES)
    return pair.from_a


def _range(part: ShortCircuit, pair: Pair) -> None:
    low = traced(lambda _, results: results.faults.fuse_far_a[pair.lower], "A")(part)
    high = traced(lambda _, results: results.faults.prospective_a[pair.lower], "A")(part)
    note("I", "range of short-circuit currents both must be judged over",
         f"{writing.worked(low)} to {writing.worked(high)}", "A",
         "smallest and largest short-circuit current of the lower device")


def limit_cite(kind: str, rated: float) -> str:
    """Documents a device's opening limits are printed in."""
    found = limits(kind, rated)
    return "; ".join(dict.fromkeys(each.line() for each in found.sources)) if found else "no limits on file"


def _bands(results: Results, pair: Pair, current: float) -> None:
    at = np.array([current])
    (lower, lower_a), (upper, upper_a) = ((results.network.fuses[each].fuse.kind, float(results.fusing.rating_a[each]))
                                          for each in (pair.lower, pair.upper))
    slowest, fastest = float(greatest_time_s(lower, lower_a, at)[0]), float(least_time_s(upper, upper_a, at)[0])
    words = f"{lower} fuse of {writing.worked(lower_a)} A below may take at most, at {writing.worked(current)} A"
    opens = slowest if np.isfinite(slowest) else "nothing printed" if np.isnan(slowest) else "may never open"
    note("t", words, opens, "s", limit_cite(lower, lower_a))
    words = f"{upper} fuse of {writing.worked(upper_a)} A above holds at least, at {writing.worked(current)} A"
    note("t", words, "nothing printed" if np.isnan(fastest) else fastest, "s", limit_cite(upper, upper_a))
    melting = fuse_tables.melting_i2t_a2s(upper, upper_a)
    heat = float(let_through_a2s(lower, lower_a, at)[0])
    if melting is not None and np.isfinite(heat):
        note("E", "most I²t the lower one lets through at that current", heat, "A²s", limit_cite(lower, lower_a))
        note("E", f"I²t that leaves the upper one unhurt: {writing.stated(UNHURT_SHARE)} of its typical melting "
                   f"{writing.worked(melting.value)}",
              UNHURT_SHARE * melting.value, "A²s", melting.source.line())
