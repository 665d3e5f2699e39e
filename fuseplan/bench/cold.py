"""What an ohmmeter shows with the battery disconnected: wires end to end, and circuits with their cold loads plugged
in."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.bench.expecting import OPEN, Expected, not_said, unknown
from fuseplan.bench.model import BenchModel
from fuseplan.bench.points import Point
from fuseplan.engine.load_figures import nominal, usual_inrush
from fuseplan.formulas.meter import cold_resistance
from fuseplan.plan.parts import Load
from fuseplan.tables.load import table

CONTINUITY_OHM = 0.3
"""Contact of the probes, connectors and switch on the way, besides the wire: what an end-to-end reading may lie above
it. A hand meter shows 0.1 Ω: it tells the right wire, never a good joint. Common practice, no source."""


def resistance(model: BenchModel, point: Point) -> Expected:
    """What an ohmmeter shows at a point of a circuit, battery disconnected."""
    if point.what == "plus_to_earth_ohm":
        return OPEN
    if point.what == "cold_ohm":
        return _loads(model, point.subject)
    network = model.network
    number = network.circuit_number[point.subject]
    consumers = network.consumers
    mine = np.flatnonzero((consumers.circuit == number) & (consumers.number == 0))
    if not mine.size:
        return not_said("loads")
    back = point.what == "return_ohm"
    tree, node = (network.returns, int(consumers.return_node[mine[0]])) if back else (
        network.supply, int(consumers.supply_node[mine[0]]))
    known = model.assessment.results.known
    if not (known.return_path[node] if back else model.assessment.results.network.supply_known[node]):
        return unknown("length or size of its wire is not known")
    ways = tree.way(node).tolist()
    if not back:
        first = int(network.circuit_node[number])
        ways = ways[ways.index(first):]
    segments = network.segments
    ohm = float(segments.r20_ohm[(segments.returns == back) & np.isin(segments.branch, ways)].sum())
    return Expected(ohm, 0.0, ohm + CONTINUITY_OHM)


def _loads(model: BenchModel, name: str) -> Expected:
    """All loads of a circuit side by side, cold."""
    system_v, circuit = model.network.system_v, model.network.plan.circuit[name]
    if not circuit.load:
        return not_said("loads")
    least = most = usual = 0.0
    for load in circuit.load:
        if load.kind == "electronic" or load.kind is None:
            return Expected(None, low=0.5, words="any, not 0")
        span = load_span(load, system_v)
        if span is None:
            return not_said(f"current of '{load.name or 'a load'}'")
        usual, least, most = usual + 1.0 / span[0], least + 1.0 / span[2], most + 1.0 / span[1]
    return Expected(1.0 / usual, 1.0 / most, 1.0 / least + CONTINUITY_OHM)


TOLERANCE = 0.2
"""What the cold resistance of a winding or a heater may lie to either side of its voltage over its current. Common
practice, no source."""


def load_span(load: Load, system_v: float) -> tuple[float, float, float] | None:
    """Cold resistance of a load: as expected, its least and its most [ohm]; None where its current is not known."""
    current, at = nominal(load, system_v)
    if math.isnan(current) or current <= 0:
        return None
    if load.kind in ("resistive", "coil"):
        usual = float(cold_resistance(at, current, 1.0))
        return usual, usual * (1.0 - TOLERANCE), usual * (1.0 + TOLERANCE)
    kind = load.kind or "motor"
    least, most = (table("inrush_by_load_kind").known("kind", kind, end).value
                   for end in ("multiple_from", "multiple_to"))
    entered = float(load.inrush) if load.inrush is not None else usual_inrush(kind)[0]
    ends = [float(cold_resistance(at, current, multiple)) for multiple in (
        entered, max(most, entered), min(least, entered))]
    # Brushes between segments, or grease on them, read high.
    return ends[0], ends[1], ends[2] * (2.0 if kind == "motor" else 1.0)
