"""A second battery at the far end of a circuit's wire: what of the wire its fuse protects, and the shorts it feeds."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known, internal_ohm, open_circuit_v, strongest_ohm
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.plan.model import Battery
from fuseplan.plan.parts import Fuse, SecondBattery
from fuseplan.records import dataclass

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class FarEnd:
    """The second battery of one circuit.

    Attributes
    ----------
    circuit, number : its circuit
    fitted : what the plan says of it
    wires : segments that its fuse protects
    most_a : largest short circuit it drives, at its post [A]; NaN where its label is not given
    least_a : smallest, at the other end of the wire its fuse protects [A]; NaN where a length or size is missing
    """

    circuit: str
    number: int
    fitted: SecondBattery
    wires: Ints
    most_a: float
    least_a: float


def far_ends(results: Results) -> Iterator[FarEnd]:
    """Every second battery the plan describes."""
    network = results.network
    for number, circuit in enumerate(network.circuits):
        if circuit.second_battery is not None and circuit.out_of_scope is None:
            yield _far_end(results, number, circuit.second_battery)


def not_described(results: Results) -> list[int]:
    """Circuits that charge a second battery, by their role, and do not describe it."""
    network = results.network
    return [number for number in network.marked.get("role second_battery", ())
            if network.circuits[number].second_battery is None]


def _far_end(results: Results, number: int, fitted: SecondBattery) -> FarEnd:
    network, segments = results.network, results.network.segments
    name = network.circuit_ids[number]
    mine = [index for index, owner in enumerate(segments.owner) if owner == ("circuit", name)]
    wires = [index for index in mine if segments.place[index].startswith("wire.")
             and int(segments.place[index].split(".")[1]) >= (fitted.converter_before or 0)]
    back = [index for index in mine if segments.place[index].startswith("earth_wire.")]
    battery = Battery(cold_crank=fitted.cold_crank, internal_resistance=fitted.internal_resistance)
    system_v = network.system_v
    volts = float(open_circuit_v(battery, system_v))
    most = volts / float(strongest_ohm(battery, system_v)) if battery_known(battery) else math.nan
    way = wires + back
    factor = copper_temperature_factor(segments.max_c[way])
    hot = np.where(segments.r20_known[way], segments.r20_ohm[way], np.nan) * np.asarray(factor)
    least = volts / (float(internal_ohm(battery, system_v, cold=True)) + _fuse_ohm(fitted.fuse) + float(hot.sum()))
    return FarEnd(name, number, fitted, np.array(wires, dtype=np.int64), most, least)


def _fuse_ohm(fuse: Fuse | None) -> float:
    return 0.0 if fuse is None or fuse.rating is None else fuse_resistance(fuse.kind, float(fuse.rating))
