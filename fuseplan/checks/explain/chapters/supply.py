"""How the figures of feeds and earths are worked out: resistance, voltage and current in each condition."""

from __future__ import annotations

from fuseplan.checks.explain import path_work
from fuseplan.checks.explain.steps import given
from fuseplan.checks.explain.working import works_out
from fuseplan.results.supply import EarthInCondition, EarthResult, FeedInCondition, FeedResult

UNKNOWN = "a resistance on the way is not known"


def _feed_ohm(part: FeedResult) -> float:
    results = part.solved.results
    row = int(results.entered(results.solution.supply_ohm)[:, part.node].argmax())
    return path_work.branch_resistance(results, row, False, part.node)


def _earth_ohm(part: EarthResult) -> float:
    results = part.solved.results
    row = int(results.entered(results.solution.return_ohm)[:, part.node].argmax())
    return path_work.branch_resistance(results, row, True, part.node)


def _feed_volts(part: FeedInCondition) -> float:
    results = part.owner.solved.results
    if not part.live:
        return given("U", "dead in this state of the key", 0.0, "V", "the plan, states in which it is live")
    return path_work.supply_voltage(results, results.solution, part.row, part.owner.node)


def _earth_volts(part: EarthInCondition) -> float:
    results = part.owner.solved.results
    return path_work.drop_along(results, results.solution, part.row, True, part.owner.node)


def _current(part: FeedInCondition | EarthInCondition) -> float:
    results = part.owner.solved.results
    return path_work.branch_current(results, results.solution, part.row, isinstance(part, EarthInCondition),
                                    part.owner.node)


works_out(FeedResult.resistance_ohm, _feed_ohm, UNKNOWN)
works_out(FeedInCondition.volts, _feed_volts, UNKNOWN)
works_out(FeedInCondition.current_a, _current)
works_out(EarthResult.resistance_ohm, _earth_ohm, UNKNOWN)
works_out(EarthInCondition.volts, _earth_volts, UNKNOWN)
works_out(EarthInCondition.current_a, _current)
