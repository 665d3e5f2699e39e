"""What second batteries, joined to the first by a relay, add to the current of a short."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.network import Network
from fuseplan.engine.source import battery_known, strongest_ohm
from fuseplan.plan.model import Battery
from fuseplan.trace import bare, given

Floats = NDArray[np.float64]


def with_second_batteries(network: Network, inner_ohm: float) -> Floats | float:
    """Internal resistance in ohm of all that feeds a short behind each device (J,): the battery, and side by side with
    it every second battery that a relay joins to it and whose label or resistance is given, through its wire. For the
    fuse in that wire it is the battery alone: a short on either side of it is fed through it by one battery."""
    circuits, segments = network.circuits, network.segments
    joined: dict[str, float] = {}
    for name, circuit in zip(network.circuit_ids, circuits, strict=True):
        fitted = circuit.second_battery
        if fitted is None or fitted.converter_before is not None or circuit.out_of_scope is not None:
            continue
        battery = Battery(cold_crank=fitted.cold_crank, internal_resistance=fitted.internal_resistance)
        if battery_known(battery):
            wires = [index for index, (owner, place) in enumerate(zip(segments.owner, segments.place, strict=True))
                     if owner == ("circuit", name) and place.startswith("wire.") and segments.r20_known[index]]
            joined[name] = float(bare(strongest_ohm(battery, network.system_v))) + float(
                (segments.r20_ohm_per_m[wires] * segments.length_m[wires]).sum())
    if not joined:
        return inner_ohm
    alone = float(bare(inner_ohm))
    beside = 1.0 / (1.0 / alone + sum(1.0 / ohm for ohm in joined.values()))
    linked = np.array([row.owner[0] == "circuit" and row.owner[1] in joined for row in network.fuses], dtype=bool)
    return np.asanyarray(given(np.where(linked, alone, beside), "r", "ohm", lambda index: "the battery alone"
                               if linked[index] else f"the battery and, side by side, {', '.join(joined)}, each with "
                               "its wire: what a relay joins feeds a short too", "the plan"))
