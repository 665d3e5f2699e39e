"""A bulb in the place of a blown fuse, the circuit switched on: whether a new fuse would blow, too.

Into a short the bulb has the whole voltage; with the loads in series less, and nothing where the circuit is open.
"""

from __future__ import annotations

from fuseplan.bench.cold import load_span
from fuseplan.bench.expecting import Expected, unknown
from fuseplan.bench.model import BenchModel
from fuseplan.bench.series_lamp import BULB_W, SeriesLamp, behind
from fuseplan.engine.backfeed import Law, divided, law_of
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.source import open_circuit_v

ELECTRONIC_SHARE = (0.05, 0.95)
"""Share of the voltage the bulb may have with electronics behind it: whatever they draw while they start."""


def bulb_volts(model: BenchModel, name: str) -> Expected:
    """Volts across the bulb if nothing is wrong but the fuse: loads cold, standing still or warm."""
    network = model.network
    row = model.row("alone", name)
    if row is None:
        return unknown("it is not switched on with the engine off")
    consumers = network.consumers
    on = [index for index in model.own_loads(network.circuit_number[name]).nonzero()[0].tolist()
          if consumers.kind[index] == LOAD]
    volts, lamp = float(open_circuit_v(network.plan.battery, network.system_v)), SeriesLamp(BULB_W, network.system_v)
    warm: list[Law] = []
    siemens, electronic = 0.0, False
    for index in on:
        number = int(consumers.number[index])
        load = network.plan.circuit[name].load[number]
        span = None if load.kind in ("electronic", None) else load_span(load, network.system_v)
        if span is None:
            electronic = True
            continue
        siemens += 1.0 / span[1]
        warm.append(law_of(model.assessment.results, name, number))
    if not on:
        return unknown("none of its loads is on with the engine off")
    low, high = (share * volts for share in ELECTRONIC_SHARE)
    if not electronic:
        left, _ = divided(volts, [lamp.law], warm)
        high = behind(lamp, volts, 1.0 / siemens).lamp_v
        low = min(volts - left, high)
    return Expected(0.5 * (low + high), low, high)
