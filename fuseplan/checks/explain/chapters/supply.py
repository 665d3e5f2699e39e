"""How the figures of feeds and earths are worked out: resistance, voltage and current in each condition."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.explain.traced import NO_WAY, Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.results import Results
from fuseplan.results.supply import EarthInCondition, EarthResult, FeedInCondition, FeedResult
from fuseplan.trace import given


def _hottest(array: str) -> Cell:
    """The largest over the conditions of one of the solution's arrays."""
    return lambda part, results: results.entered(getattr(results.solution, array))[:, part.node].max()


def _feed_volts(part: FeedInCondition, results: Results) -> Any:
    dead = given(0.0, "U", "V", "dead in this state of the key", "the plan, states in which it is live")
    return results.solution.supply_v[part.row, part.owner.node] if part.live else dead


works_out(FeedResult.resistance_ohm, traced(_hottest("supply_ohm"), "ohm"), NO_WAY)
works_out(FeedInCondition.volts, traced(_feed_volts, "V"), NO_WAY)
works_out(FeedInCondition.current_a,
          traced(lambda part, results: results.solution.supply_a[part.row, part.owner.node], "A", "I"))
works_out(EarthResult.resistance_ohm, traced(_hottest("return_ohm"), "ohm"), NO_WAY)
works_out(EarthInCondition.volts,
          traced(lambda part, results: results.solution.return_v[part.row, part.owner.node], "V"), NO_WAY)
works_out(EarthInCondition.current_a,
          traced(lambda part, results: results.solution.return_a[part.row, part.owner.node], "A", "I"))
