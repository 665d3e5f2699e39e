"""One fault a circuit may have: a change of the network with a size that is searched for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from typing import Literal

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.bench.diagnosis_solve import Cases, Spot
from fuseplan.bench.diagnosis_tree import CarModel
from fuseplan.records import dataclass
from fuseplan.results.address import joined

FaultKind = Literal["healthy", "resistance", "open", "short_to_earth", "short_across_load", "load_strong", "load_weak",
                    "load_open", "coil_open", "coil_not_driven", "coil_starved", "contact_87a", "contact_stuck",
                    "diode_reversed", "feeds_swapped", "wires_swapped", "sneak_path", "weak_battery",
                    "weak_battery_ohm", "not_charging", "diode_failed", "drain"]

HEALTHY_PRIOR = 1.0
"""Weights of the faults before anything was read, over that of a car in good order. Judgement: no count of faults was
found; joints and contacts first."""
PRIOR: dict[str, float] = {
    "holder": 0.03, "fuse": 0.01, "contact": 0.03, "wire": 0.03, "own_wire": 0.02, "own_return": 0.03, "return": 0.03,
    "strap": 0.03, "open": 0.01, "blown": 0.02, "load": 0.03, "short": 0.015, "relay": 0.01, "coil_wire": 0.01,
    "swapped": 0.004, "battery": 0.02, "alternator": 0.02, "cable": 0.03,
}
LEAST_OHM, MOST_OHM, STEPS_OHM = 0.008, 20.0, 14
"""Extra resistance searched: what is less no mechanic would call a fault, what is more is as good as open."""
LOAD_STEPS, STRONGEST, WEAKEST = 6, 4.0, 0.12
"""Load currents searched, as multiples of the planned one."""
DIAGNOSED_SHORT_OHM = 0.15
"""What an ohmmeter shows into a short through a few metres of wire."""

Put = Callable[[Cases, int, float], None]


@dataclass(frozen=True)
class Fault:
    """One fault at one place, of a size to be found."""

    kind: FaultKind
    place: str
    """Path of the part: ``circuit.fuel_pump.fuse``."""
    words: str
    prior: float
    sizes: Floats
    """Sizes looked at (G,), rising: ohm, a multiple of the planned current, or V; a single 1 where it has none."""
    put: Put
    """Puts it into a case: (cases, number, size)."""
    searched: bool = False
    """Its size is continuous, and even over its logarithm before anything was read."""
    swapped: str | None = None
    """Circuit whose supply wire is swapped with this one's."""
    refed: bool = False
    """Whether coil and contact feeds are swapped."""
    shown: dict[str, float] = field(default_factory=dict)
    """What other points than those of the network show, by address: V, A or ohm."""

    @property
    def id(self) -> str:
        """Its kind and place."""
        return f"{self.kind}:{self.place}"


ONE = np.ones(1)


def nothing(cases: Cases, number: int, size: float) -> None:
    """A car in good order."""


def healthy() -> Fault:
    """That nothing is wrong."""
    return Fault("healthy", "", "everything read is within tolerance", HEALTHY_PRIOR, ONE, nothing)


def bulb(circuit: str) -> str:
    """Where a bulb stands in for the fuse of a circuit."""
    return joined(("circuit", circuit, "bulb_v"))


def cut(model: CarModel, spot: Spot, and_then: Put = nothing) -> Put:
    """Puts an interruption into a case: what is behind it draws nothing."""
    side = model.returns if spot.returns else model.supply
    behind = side.behind(spot.node)[side.node]

    def put(cases: Cases, number: int, size: float) -> None:
        cases.factor[behind, number] = 0.0
        cases.open_at[number] = spot
        and_then(cases, number, size)

    return put


LIVE = -1.0
"""Stands for what the load gets when it is on."""
