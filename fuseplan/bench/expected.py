"""What a meter shows at a point if the car is as planned: the figure, and its band from both ends of what is known."""

from __future__ import annotations

from fuseplan.bench.expected_circuit import at_circuit, consumer_of
from fuseplan.bench.expected_supply import at_alternator, at_battery, at_can, at_earth, at_feed, at_plug
from fuseplan.bench.expecting import OPEN, Expected, unknown
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point
from fuseplan.checks.assessment import Assessment

__all__ = ["OPEN", "Expected", "consumer_of", "expected", "unknown"]


def expected(assessment: Assessment, point: Point, condition: str) -> Expected:
    """What a point shows in a condition if the car is as planned.

    Args:
        point: of `points`
        condition: id of a condition of the plan, or ``unpowered``, ``rested`` or ``alone``
    """
    model, key = bench_model(assessment), (point.address, condition)
    found = model.expected.get(key)
    if not isinstance(found, Expected):
        found = model.expected[key] = _BY_KIND[point.kind](model, point, condition)
    return found


_BY_KIND = {"circuit": at_circuit, "feed": at_feed, "earth": at_earth, "battery": at_battery,
            "alternator": at_alternator, "can": at_can, "connector": at_plug}
