"""Proposed ratings that would blow at switch-on step up to one that rides the surge, as far as the wire allows."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from fuseplan.engine.demand import Demands
from fuseplan.engine.devices import devices_of
from fuseplan.engine.fusing import Fusing, ladder
from fuseplan.engine.inrush import DOES_NOT, inrush_of, judged
from fuseplan.engine.network import Network


def with_surges(network: Network, demands: Demands, fusing: Fusing) -> Fusing:
    """The same windows, with proposals stepped up where published limits say that the first would not ride a surge.

    A proposal that no rating inside the window betters is left as it is: the check on surges then says so.
    """
    known = ~np.isnan(fusing.proposed_a)
    if not known.any():
        return fusing
    kinds = network.fuse_kinds
    proposed = fusing.proposed_a.copy()
    inrush = inrush_of(network, demands, devices_of(kinds, proposed))
    failing = np.unique(inrush.device[(inrush.rides == DOES_NOT) & (inrush.device >= 0)])
    for device in failing[known[failing]].tolist():
        behind = inrush.device == device
        for step in ladder(kinds[device]):
            if step <= proposed[device] or step > fusing.high_a[device]:
                continue
            if not (judged(kinds[device], step, inrush.through_a[behind], inrush.length_s[behind]) == DOES_NOT).any():
                proposed[device] = step
                break
    if np.array_equal(proposed, fusing.proposed_a, equal_nan=True):
        return fusing
    left_out = np.isnan(network.entered_a) & known
    rating = np.where(left_out, proposed, fusing.rating_a)
    share = fusing.share * np.where(np.isnan(rating), math.nan, fusing.rating_a / rating)
    return replace(fusing, rating_a=rating, proposed_a=proposed, share=share)
