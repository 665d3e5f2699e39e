"""Ampacity of segments beside the other wires of their runs, in every condition."""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.segments import Segments
from fuseplan.formulas.thermal import derated_ampacity
from fuseplan.limits import LimitSet
from fuseplan.trace import apply, bare


def ampacities(segments: Segments, runs: int, nominal_a: Floats, limit_set: LimitSet) -> tuple[Floats, Ints]:
    """Ampacity of every segment in every condition, with the conductors that share its runs.

    Parameters
    ----------
    runs : number of runs in the plan
    nominal_a : current each segment carries in each condition, at the entered values [A] (C, S)

    Returns
    -------
    (array (C, S) of A, array (C, S) of conductors counted in the segment's fullest run, itself included)
    """
    if segments.count == 0:
        return np.zeros((nominal_a.shape[0], 0)), np.zeros((nominal_a.shape[0], 0), dtype=np.int64)
    count = counted(segments, runs, nominal_a, limit_set)
    limited = apply(derated_ampacity, ampacity_a=segments.pair_base_a, ambient_factor=segments.pair_left,
                    group_factor=limit_set.group_factor(count))
    return (np.minimum.reduceat(limited, segments.first_pair, axis=1),
            np.maximum.reduceat(count, segments.first_pair, axis=1))


def counted(segments: Segments, runs: int, nominal_a: Floats, limit_set: LimitSet) -> Ints:
    """Conductors counted beside each (segment, section) pair in its run, itself included: array (C, P), arguments as
    for `ampacities`."""
    conditions = nominal_a.shape[0]
    pair, run, single = segments.pair_segment, segments.pair_run, bare(segments.pair_single_a)
    count = np.ones((conditions, len(pair)), dtype=np.int64)
    along = np.flatnonzero(run >= 0)
    if along.size:
        current = nominal_a[:, pair[along]]
        loaded = current > limit_set.group.counted_from * np.nan_to_num(single[along], nan=0.0)
        rows = np.repeat(np.arange(conditions), along.size) * runs + np.tile(run[along], conditions)
        totals = np.bincount(rows, weights=loaded.ravel(), minlength=conditions * runs).reshape(conditions, runs)
        shared = totals[:, run[along]].astype(np.int64)
        count[:, along] = np.maximum(1, shared + ~loaded)
    return count
