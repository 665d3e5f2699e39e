"""The plan's models and vocabulary."""

from fuseplan.plan.conditions import built_in, conditions_of
from fuseplan.plan.model import Circuit, Condition, Earth, Feed, Plan, Vehicle
from fuseplan.plan.parts import Fuse, Load, Relay, Segment, Switch

__all__ = [
    "Circuit", "Condition", "Earth", "Feed", "Fuse", "Load", "Plan", "Relay", "Segment", "Switch", "Vehicle",
    "built_in", "conditions_of",
]
