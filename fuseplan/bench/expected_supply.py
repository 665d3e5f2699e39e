"""What a meter shows at feeds, earth points, battery, alternator and data bus."""

from __future__ import annotations

from fuseplan.bench.expecting import (
    AS_WARM,
    DARK,
    NOTHING_A,
    OPEN,
    Expected,
    across_fuse,
    at_coil,
    between,
    contact_volts,
    not_said,
    span,
    unknown,
)
from fuseplan.bench.model import BenchModel
from fuseplan.bench.plug_points import DEAD_V
from fuseplan.bench.points import Point
from fuseplan.bench.solved_rows import REST_V, Variant
from fuseplan.engine.source import open_circuit_v
from fuseplan.looms.probing import CONTINUITY_OHM
from fuseplan.quantities import writing
from fuseplan.tables import commissioning


def at_feed(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of a feed shows in a condition."""
    network, name, what = model.network, point.subject, point.what
    if point.unit == "ohm":
        return OPEN
    if point.unit == "K":
        return AS_WARM
    if what == "lamp_v":
        return DARK
    node = network.feed_node[name]
    if condition == "alone" and what == "volts":
        # Nothing is on behind it: it shows what the battery has.
        return _rested(model)
    if condition == "rested":
        live = what == "volts" and network.feed_live[name][0]
        return _rested(model) if live else unknown("it is dead with the key off")
    row = model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of a feed")
    feed = network.plan.feed[name]
    if not network.feed_live[name][int(model.chosen[0].state[row])]:
        return Expected(0.0, high=0.05, words="dead") if what == "volts" else unknown("it is dead in this condition")

    def current(variant: Variant, at: int) -> float:
        return variant.supply_a(at, node)

    if what == "current":
        return span(model, row, current)
    if what in ("fuse_mv", "holder_mv"):
        return across_fuse(model, row, ("feed", name), current)
    if what.startswith("coil_") or what == "socket_v":
        return at_coil(model, row, ("feed", name), what)
    if what == "contact_mv":
        return span(model, row, contact_volts(feed.relay, feed.switch, current))
    if not model.assessment.results.known.supply_path[node]:
        return unknown("the resistance of the way to it is not known")
    if what == "volts":
        return span(model, row, between((False, node), None))
    return span(model, row, between((False, int(network.supply.parent[node])), (False, node)))


def at_earth(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of an earth point shows in a condition."""
    network = model.network
    node, row = network.earth_node[point.subject], model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of an earth point")
    if point.what == "current":
        return span(model, row, lambda variant, at: variant.return_a(at, node))
    if not model.assessment.results.known.return_path[node]:
        return unknown("the resistance of the way to the battery is not known")
    up = None if point.what == "drop_mv" else (True, int(network.returns.parent[node]))
    return span(model, row, between((True, node), up))


def _rested(model: BenchModel) -> Expected:
    volts = open_circuit_v(model.network.plan.battery, model.network.system_v)
    reach = REST_V * model.network.system_v / 12.0
    return Expected(float(volts), float(volts) - reach, float(volts) + reach)


def at_battery(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of the battery shows in a condition."""
    what = point.what
    if what == "all_earth_ohm":
        return OPEN
    if what == "ripple_mv":
        look, _ = commissioning.ripple_v()
        return Expected(None, high=look.value, words=f"less than {writing.stated(1e3 * look.value, 'mV')}")
    if what == "load_test_v":
        return unknown("by its limit alone: what a good battery shows depends on its temperature")
    if what == "volts" and condition == "rested":
        return _rested(model)
    row = model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of the battery")
    if what in ("volts", "reserve_v"):
        return span(model, row, Variant.root_v)
    found = span(model, row, Variant.battery_a)
    charging = model.assessment.results.source.running[row] if condition != "alone" else False
    if what == "current" and charging and found.value is not None and found.value <= NOTHING_A:
        # How fast a battery takes its charge is not followed: any current into it is right.
        return Expected(0.0, None, max(found.high or 0.0, NOTHING_A), "0 or charging (negative)")
    return found


def at_alternator(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of the alternator shows in a condition."""
    row = model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of the alternator")
    results, machine = model.assessment.results, model.network.alternator
    if not results.charging_known:
        return not_said("output of the alternator")
    if not results.source.running[row]:
        return unknown("the engine is not running in this condition")
    if point.what == "current":
        return span(model, row, Variant.alternator_a)
    if not results.known.alternator_cable:
        return unknown("the resistance of the alternator cable or of its earth is not known")
    consumers = model.network.consumers
    at, back = int(consumers.supply_node[machine]), int(consumers.return_node[machine])
    if point.what == "volts":
        return span(model, row, between((False, at), (True, back)))
    if point.what == "cable_mv":
        return span(model, row, between((False, at), (False, 0)))
    earth = span(model, row, between((True, back), None))
    # Its case lies below the negative post while it charges; a meter is put the way round that reads positive.
    return earth if earth.value is None else Expected(*(_turned(earth)))


def _turned(span: Expected) -> tuple[float, float, float]:
    assert span.value is not None
    assert span.low is not None
    assert span.high is not None
    return -span.value, -span.high, -span.low


def at_can(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of the data bus shows in a condition."""
    if point.what == "pair_ohm":
        # Two terminators of 120 Ω side by side.
        return Expected(60.0, *commissioning.can_pair_ohm()[:2])
    return OPEN


def at_plug(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of a plug or of a wire between plugs shows in a condition."""
    what = point.what
    if point.unit == "ohm":
        return at_can(model, point, condition) if what == "pair_ohm" else OPEN if what.startswith("signals") else \
            Expected(0.0, high=CONTINUITY_OHM, words=f"under {writing.stated(CONTINUITY_OHM, 'ohm')}")
    if condition != "alone":
        return unknown("it is read with the key on and the plug open")
    return _rested(model) if what == "supplies_v" else Expected(0.0, high=DEAD_V, words="dead")
