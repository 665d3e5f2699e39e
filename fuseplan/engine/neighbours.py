"""Ampacity of segments beside the other wires of their runs, in every condition."""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.segments import Segments
from fuseplan.formulas.thermal import derated_ampacity
from fuseplan.limits import LimitSet
from fuseplan.trace import apply, bare


def ampacities(segments: Segments, runs: int, nominal_a: Floats, limit_set: LimitSet) -> tuple[Floats, Ints]:
    """Ampacity of every segment in every condition, with the conductors that share its runs.

    Args:
        runs: number of runs in the plan
        nominal_a: current each segment carries in each condition, at the entered values [A] (C, S)
    Returns:
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
    pair, run, single = segments.pair_segment, segments.pair_run, bare(segments.pair_single_a)
    count = np.ones((nominal_a.shape[0], len(pair)), dtype=np.int64)
    along = np.flatnonzero(run >= 0)
    if along.size:
        loaded, shared = loaded_beside(nominal_a[:, pair[along]], single[along], run[along], runs, limit_set)
        count[:, along] = np.maximum(1, shared + ~loaded)
    return count


def loaded_beside(current_a: Floats, single_a: Floats, bunch: Ints, bunches: int, limit_set: LimitSet
                  ) -> tuple[Flags, Ints]:
    """Which conductors of bunches count, and how many do in the bunch of each. At first all that carry current do;
    those that carry no more than the share of what they may beside so many drop out, until none does.

    Args:
        current_a: what each carries in each condition [A] (C, N)
        single_a: what each may carry by itself [A] (N,); NaN counts whatever it carries
        bunch: number of the bunch of each (N,)
        bunches: how many there are
    Returns:
        (array (C, N), array (C, N))
    """
    conditions = current_a.shape[0]
    share_a = limit_set.group.counted_from * np.nan_to_num(single_a, nan=0.0)
    rows = np.repeat(np.arange(conditions), bunch.size) * bunches + np.tile(bunch, conditions)
    loaded = current_a > 0.0
    while True:
        totals = np.bincount(rows, weights=loaded.ravel(), minlength=conditions * bunches)
        shared = totals.astype(np.int64).reshape(conditions, bunches)[:, bunch]
        still = loaded & (current_a > share_a * bare(limit_set.group_factor(np.maximum(1, shared))))
        if np.array_equal(still, loaded):
            return loaded, shared
        loaded = still
