"""Whether, of two devices in series, the one nearer the fault opens first whatever the fault current."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.clearing import greatest_time_s, least_time_s, let_through_a2s, limits
from fuseplan.engine.fault import Faults
from fuseplan.engine.network import Network
from fuseplan.tables import fuses as fuse_tables

Floats = NDArray[np.float64]
Answer = Literal["assured", "not assured", "unknown"]

UNHURT_SHARE = 0.48
"""The lower device must open before the upper has taken more than this share of its typical melting I²t: what a
fuse bears a hundred times by the published pulse chart, so that the upper one is not worn."""


@dataclass(frozen=True)
class Pair:
    """A device and the one above it."""

    lower: int
    upper: int
    answer: Answer
    from_a: float
    """Fault current from which it is not assured [A]; NaN otherwise."""
    why: str


@lru_cache(maxsize=4096)
def compare(lower_kind: str, lower_a: float, upper_kind: str, upper_a: float, low_a: float,
            high_a: float) -> tuple[Answer, float, str]:
    """Selectivity over the fault currents from `low_a` to `high_a`.

    Both step envelopes change only at printed multiples, so the currents just above those, and the two ends, decide.
    """
    lower, upper = limits(lower_kind, lower_a), limits(upper_kind, upper_a)
    for kind, found in ((lower_kind, lower), (upper_kind, upper)):
        if found is None:
            return "unknown", np.nan, f"no published limits on file for {kind} fuses"
    assert lower is not None and upper is not None
    steps = np.concatenate([lower.curve.multiples * lower_a, upper.curve.multiples * upper_a])
    steps = np.concatenate([steps, steps * (1 - 1e-6), steps * (1 + 1e-6)])
    currents = np.unique(np.concatenate([[low_a, high_a], steps[(steps > low_a) & (steps < high_a)]]))
    opens = greatest_time_s(lower_kind, lower_a, currents)
    holds = least_time_s(upper_kind, upper_a, currents)
    with np.errstate(invalid="ignore"):
        sure = opens < np.nan_to_num(holds, nan=0.0)
    melting = fuse_tables.melting_i2t_a2s(upper_kind, upper_a)
    if melting is not None:
        sure |= let_through_a2s(lower_kind, lower_a, currents) <= UNHURT_SHARE * melting.value
    if sure.all():
        return "assured", np.nan, "the lower opens before the upper over the whole range"
    first = float(currents[np.flatnonzero(~sure)[0]])
    unknown_only = melting is None and np.isnan(holds[~sure]).all()
    if unknown_only:
        return "unknown", np.nan, f"no published limits on file for {upper_kind} {upper_a:g} A above {first:.0f} A"
    return "not assured", first, "the published bands of the two overlap"


def pairs_of(network: Network, faults: Faults, rating_a: Floats) -> tuple[Pair, ...]:
    """Every device against the one above it."""
    found = []
    above = network.guard[network.supply.parent[network.fuse_node]] if len(network.fuses) else np.zeros(0, dtype=int)
    for lower, upper in enumerate(above.tolist()):
        node = int(network.fuse_node[lower])
        if upper < 0 or upper == lower or node == 0:
            continue
        low, high = float(faults.fuse_far_a[lower]), float(faults.prospective_a[lower])
        if np.isnan(rating_a[lower]) or np.isnan(rating_a[upper]) or np.isnan(low):
            found.append(Pair(lower, upper, "unknown", np.nan, "a rating or a fault current is not known"))
            continue
        answer, start, why = compare(network.fuses[lower].fuse.kind, float(rating_a[lower]),
                                     network.fuses[upper].fuse.kind, float(rating_a[upper]), _grid(low), _grid(high))
        found.append(Pair(lower, upper, answer, start, why))
    return tuple(found)


def _grid(current_a: float) -> float:
    """Currents to three figures, so that alike circuits share one answer; a rounding far inside any band."""
    return float(f"{current_a:.3g}")
