"""Proposed ratings that would blow at switch-on step up to one that rides the surge, as far as the wire allows."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from fuseplan.engine.demand import Demands
from fuseplan.engine.devices import devices_of
from fuseplan.engine.fusing import Fusing, ladder
from fuseplan.engine.inrush import DOES_NOT, inrush_of, judged
from fuseplan.engine.network import Network, loads_of


def with_surges(network: Network, demands: Demands, fusing: Fusing) -> Fusing:
    """The same windows, with proposals stepped up where published limits say that the first would not ride a surge.

    A proposal that no rating inside the window betters is left as it is: the check on surges then says so.
    """
    left_out = np.array([row.fuse.rating is None for row in network.fuses], dtype=bool) & ~np.isnan(fusing.proposed_a)
    if not left_out.any():
        return fusing
    kinds: list[str] = [row.fuse.kind for row in network.fuses]
    where, loads = loads_of(network)
    inrush = inrush_of(network, demands, devices_of(kinds, fusing.rating_a), where, loads)
    failing = np.unique(inrush.device[(inrush.rides == DOES_NOT) & (inrush.device >= 0)])
    rating = fusing.rating_a.copy()
    for device in failing[left_out[failing]].tolist():
        behind = inrush.device == device
        for step in ladder(kinds[device]):
            if step <= rating[device] or step > fusing.high_a[device]:
                continue
            if not (judged(kinds[device], step, inrush.through_a[behind], inrush.length_s[behind]) == DOES_NOT).any():
                rating[device] = step
                break
    if np.array_equal(rating, fusing.rating_a, equal_nan=True):
        return fusing
    share = fusing.share * np.where(np.isnan(rating), math.nan, fusing.rating_a / rating)
    return replace(fusing, rating_a=rating, proposed_a=np.where(left_out, rating, fusing.proposed_a), share=share)
