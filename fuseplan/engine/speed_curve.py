"""Output and demand over engine speed in one condition, and the speed from which the battery is left alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.engine.alternator import Machine
from fuseplan.engine.network import Network
from fuseplan.engine.power import still_a
from fuseplan.engine.scenario import rows, weighed
from fuseplan.engine.solve import solve
from fuseplan.engine.source import Source
from fuseplan.formulas.alternator import rotor_speed
from fuseplan.records import dataclass

LOWEST_RPM, HIGHEST_RPM, STEP_RPM = 400.0, 7000.0, 100.0


@dataclass(frozen=True)
class SpeedCurve:
    """One condition over engine speed; arrays of shape (K,), currents in A on average demand."""

    condition: int
    engine_rpm: Floats
    rotor_rpm: Floats
    output_a: Floats
    """What the hot machine could deliver."""
    demand_a: Floats
    """Average demand at the voltage that results."""
    bus_v: Floats
    discharge_a: Floats
    """Out of the battery."""
    break_even_rpm: float
    """Lowest engine speed at which the battery is no longer discharged; NaN where none is reached."""
    regulated_rpm: float
    """Lowest engine speed at which the regulator voltage is reached: the battery is charged; NaN where none is."""


def _solved(network: Network, source: Source, machine: Machine, ratio: float, fuse_ohm: Floats, condition: int,
            engine_rpm: Floats, bound: int) -> tuple[Floats, Floats, Floats, Floats, Flags]:
    few, narrow = rows(network, source, [condition] * len(engine_rpm))
    rotor = np.asarray(rotor_speed(engine_rpm, ratio), dtype=float)
    output = machine.hot_a(rotor)
    solution = solve(few, replace(narrow, available_a=output, rotor_rpm=rotor), fuse_ohm)
    half = slice(bound * len(engine_rpm), (bound + 1) * len(engine_rpm))
    discharge = np.maximum(solution.battery_a[half], 0.0)
    delivered = solution.alternator_a[half]
    still = still_a(output)
    discharge = np.where(discharge < still, 0.0, discharge)
    regulated = (discharge == 0) & (delivered < output - still)
    return output, discharge + delivered, solution.root_v[half], discharge, regulated


def speed_curve(network: Network, source: Source, machine: Machine, ratio: float, fuse_ohm: Floats,
                condition: int, bound: int = 0) -> SpeedCurve:
    """The curve of one condition.

    Args:
        network, source, fuse_ohm: As solved.
        ratio: rotor turns per engine turn
        condition: its number
        bound: 0 for the currents as entered, 1 for the upper bound of their evidence
    """
    mean = weighed(network)
    engine = np.arange(LOWEST_RPM, HIGHEST_RPM + STEP_RPM / 2, STEP_RPM)
    output, demand, bus, discharge, regulated = _solved(
        mean, source, machine, ratio, fuse_ohm, condition, engine, bound)

    def lowest(reached: Flags, ask_regulated: bool) -> float:
        if not reached.any():
            return float("nan")
        first = int(np.argmax(reached))
        if first == 0:
            return float(engine[0])
        fine = np.arange(engine[first - 1] + 1.0, engine[first] + 0.5, 1.0)
        _, _, _, out, kept = _solved(mean, source, machine, ratio, fuse_ohm, condition, fine, bound)
        found = kept if ask_regulated else out == 0
        return float(fine[int(np.argmax(found))]) if found.any() else float(engine[first])

    return SpeedCurve(
        condition=condition, engine_rpm=engine, rotor_rpm=np.asarray(rotor_speed(engine, ratio), dtype=float),
        output_a=output, demand_a=demand, bus_v=bus, discharge_a=discharge,
        break_even_rpm=lowest(discharge == 0, False), regulated_rpm=lowest(regulated, True))
