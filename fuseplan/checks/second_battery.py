"""A second battery at the far end of a circuit's wire: what of the wire its fuse protects, and the shorts it feeds."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.engine.second_batteries import label_of, second_battery
from fuseplan.engine.source import battery_known, internal_ohm, open_circuit_v, strongest_ohm
from fuseplan.engine.states import STATE_INDEX
from fuseplan.engine.warming import branch_ohm, hot_ohm
from fuseplan.plan.parts import Fuse, SecondBattery
from fuseplan.records import dataclass
from fuseplan.tables.distinct import distinct

PARTS = ('fit a relay that senses the voltage (`driver = "voltage_sensing"`), or one whose coil is fed from what is '
         "dead while cranking")
"""What parts a second battery from the first while the starter turns."""
CRANK = STATE_INDEX["crank"]


@dataclass(frozen=True)
class FarEnd:
    """The second battery of one circuit.

    Attributes:
        circuit, number: its circuit
        fitted: what the plan says of it
        wires: segments that its fuse protects
        known: its label or its resistance is given
        most_a: largest short circuit it drives, at its post [A]; that of a strong battery where nothing is known of it
        least_a: smallest, at the other end of the wire its fuse protects [A]; NaN where a length or size is missing
    """

    circuit: str
    number: int
    fitted: SecondBattery
    wires: Ints
    known: bool
    most_a: float
    least_a: float


def far_ends(results: Results) -> Iterator[FarEnd]:
    """Every second battery the plan describes."""
    for number, fitted in of_circuits(results.network, second_battery, "second_battery").items():
        yield _far_end(results, number, fitted)


def not_described(results: Results) -> list[int]:
    """Circuits that charge a second battery, by their role, and do not describe it."""
    network = results.network
    return [number for number in network.marked.get("role second_battery", ())
            if network.circuits[number].second_battery is None]


def _far_end(results: Results, number: int, fitted: SecondBattery) -> FarEnd:
    network, segments = results.network, results.network.segments
    name, system_v = network.circuit_ids[number], network.system_v
    wires = np.array([index for index, (owner, place) in enumerate(zip(segments.owner, segments.place, strict=True))
                      if owner == ("circuit", name) and place.startswith("wire.")
                      and int(place.split(".")[1]) >= (fitted.converter_before or 0)], dtype=np.int64)
    battery = label_of(fitted)
    volts = float(open_circuit_v(battery, system_v))
    hot = np.where(segments.r20_known, hot_ohm(network, segments.max_c), np.nan)
    # Contacts and joints count on whichever side of a converter they sit: with more of them a short draws less.
    loop = (float(internal_ohm(battery, system_v, cold=True)) + _fuse_ohm(fitted.fuse) + float(hot[wires].sum())
            + float(network.supply_base[network.circuit_node[number]]) + _back_ohm(network, number, hot))
    return FarEnd(name, number, fitted, wires, battery_known(battery), volts / float(strongest_ohm(battery, system_v)),
                  volts / loop)


def _back_ohm(network: Network, number: int, segment_ohm: Floats) -> float:
    """Resistance from the root of the earths, where the short returns to, to the second battery: the worst of the
    circuit's ways [ohm]; NaN where a length or size is missing."""
    consumers = network.consumers
    ends = distinct(consumers.return_node[(consumers.kind == LOAD) & (consumers.circuit == number)])
    way = network.returns.path_drops(branch_ohm(network, True, segment_ohm, network.returns_base, np.zeros(0)))
    return float(way[ends].max(initial=0.0))


def _fuse_ohm(fuse: Fuse | None) -> float:
    return 0.0 if fuse is None or fuse.rating is None else fuse_resistance(fuse.kind, float(fuse.rating))


def joined_while_cranking(results: Results) -> list[FarEnd]:
    """Those that are joined to the first battery while the starter turns, and help to crank."""
    return [end for end in far_ends(results)
            if end.fitted.converter_before is None and results.network.circuit_live[end.number, CRANK]]


def parting_keys(circuit: str) -> tuple[str, ...]:
    """Keys of the plan that `PARTS` changes."""
    return f"circuit.{circuit}.relay.driver", f"circuit.{circuit}.relay.coil_feed"
