"""How the order of two protective devices in a short circuit came about: whether the lower one surely opens first."""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain.fault_work import device_far, limit_cite, prospective
from fuseplan.checks.explain.steps import figure, given
from fuseplan.engine.clearing import greatest_time_s, least_time_s, let_through_a2s
from fuseplan.engine.results import Results
from fuseplan.engine.selectivity import UNHURT_SHARE, Pair
from fuseplan.formulas.working import note
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables

ENVELOPES = "step envelopes of the published limits: no straight lines between printed points"


def order(results: Results, pair: Pair) -> str:
    """Assured, not assured or unknown, with the bands of both devices where it is decided."""
    _range(results, pair)
    if np.isfinite(pair.from_a):
        _bands(results, pair, pair.from_a)
    note("w", f"over that range: {pair.why}", pair.answer, "-", ENVELOPES)
    return pair.answer


def from_a(results: Results, pair: Pair) -> float:
    """Current from which on the order is not sure."""
    _range(results, pair)
    _bands(results, pair, pair.from_a)
    return given("I", "smallest current of the range, or printed step in it, from which the order is not sure: "
                      f"{pair.why}",
                 pair.from_a, "A", ENVELOPES)


def _range(results: Results, pair: Pair) -> None:
    low, high = device_far(results, pair.lower), prospective(results, pair.lower)
    note("I", "range of short-circuit currents both must be judged over", f"{figure(low)} to {figure(high)}", "A",
         "smallest and largest short-circuit current of the lower device")


def _bands(results: Results, pair: Pair, current: float) -> None:
    at = np.array([current])
    (lower, lower_a), (upper, upper_a) = ((results.network.fuses[each].fuse.kind, float(results.fusing.rating_a[each]))
                                          for each in (pair.lower, pair.upper))
    slowest, fastest = float(greatest_time_s(lower, lower_a, at)[0]), float(least_time_s(upper, upper_a, at)[0])
    words = f"{lower} fuse of {figure(lower_a)} A below may take at most, at {figure(current)} A"
    note("t", words, slowest if np.isfinite(slowest) else "may never open", "s", limit_cite(lower, lower_a))
    words = f"{upper} fuse of {figure(upper_a)} A above holds at least, at {figure(current)} A"
    note("t", words, "nothing printed" if np.isnan(fastest) else fastest, "s", limit_cite(upper, upper_a))
    melting = fuse_tables.melting_i2t_a2s(upper, upper_a)
    heat = float(let_through_a2s(lower, lower_a, at)[0])
    if melting is not None and np.isfinite(heat):
        given("E", "most I²t the lower one lets through at that current", heat, "A²s", limit_cite(lower, lower_a))
        given("E", f"I²t that leaves the upper one unhurt: {writing.stated(UNHURT_SHARE)} of its typical melting "
                   f"{figure(melting.value)}",
              UNHURT_SHARE * melting.value, "A²s", melting.source.line())
