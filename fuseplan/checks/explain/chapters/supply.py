"""Figures of feeds and earths: resistance of the way, voltage and current in each condition."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.checks.explain import path_work
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.steps import given
from fuseplan.checks.views import known
from fuseplan.engine.results import Results

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


UNKNOWN = "a resistance on the way is not known"


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every feed and every earth."""
    results = assessment.results
    for view in assessment.feeds:
        at, node = f"feed.{view.id}", view.node
        row = int(results.entered(results.solution.supply_ohm)[:, node].argmax())
        yield Figure(f"{at}.resistance", f"resistance of the way to feed {view.id}, "
                                         "hottest", "ohm", known(view.resistance_ohm),
                     partial(path_work.branch_resistance, results, row, False, node), solved=True, why_unknown=UNKNOWN)
        for index, condition in enumerate(results.network.condition_ids):
            volts, current, live = view.in_condition(index)
            yield Figure(f"{at}.volts.{condition}", f"voltage of feed {view.id} in '{condition}'", "V", known(volts),
                         partial(_volts, results, index, node, live), why_unknown=UNKNOWN)
            yield Figure(f"{at}.current.{condition}", f"current through feed {view.id} in '{condition}'", "A", current,
                         partial(path_work.branch_current, results, results.solution, index, False, node))
    for earth in assessment.earths:
        at, node = f"earth.{earth.id}", earth.node
        row = int(results.entered(results.solution.return_ohm)[:, node].argmax())
        yield Figure(f"{at}.resistance", f"resistance of the way from earth {earth.id}, hottest", "ohm",
                     known(earth.resistance_ohm),
                     partial(path_work.branch_resistance, results, row, True, node), solved=True, why_unknown=UNKNOWN)
        for index, condition in enumerate(results.network.condition_ids):
            volts, current = earth.in_condition(index)
            yield Figure(f"{at}.volts.{condition}", f"voltage of earth {earth.id} above battery negative in "
                                                    f"'{condition}'",
                         "V", known(volts), partial(path_work.drop_along, results, results.solution, index, True,
                                                    node), why_unknown=UNKNOWN)
            yield Figure(f"{at}.current.{condition}", f"current through earth {earth.id} in "
                                                      f"'{condition}'", "A", current,
                         partial(path_work.branch_current, results, results.solution, index, True, node))


def _volts(results: Results, row: int, node: int, live: bool) -> float:
    if not live:
        return given("U", "dead in this state of the key", 0.0, "V", "the plan, states in which it is live")
    return path_work.supply_voltage(results, results.solution, row, node)
