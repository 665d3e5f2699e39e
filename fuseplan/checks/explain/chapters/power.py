"""Figures of alternator and battery in each condition: output, demand, balance, bus voltage."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from fuseplan.checks.explain import balance_work, battery_work
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.steps import given

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


NO_OUTPUT = "the alternator's output is not given"


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of the machine, and of every condition."""
    results = assessment.results
    rated = results.source.rated_a
    yield Figure("power.rated", "rated output of the alternator", "A", None if np.isnan(rated) else rated,
                 partial(battery_work.rated, results), why_unknown=NO_OUTPUT)
    yield Figure("power.regulator_voltage", "regulator voltage", "V", results.source.regulator_v,
                 partial(battery_work.regulator_voltage, results))
    yield Figure("power.open_circuit", "rested voltage of the battery", "V", float(results.source.open_circuit_v[0]),
                 partial(battery_work.open_circuit, results))
    yield Figure("power.share_limit", "largest continuous load as a share of the output", "-",
                 assessment.limit_set.alternator.continuous_share, partial(_share_limit, assessment))
    for view in assessment.conditions:
        at, row, words = f"power.{view.id}", view.index, f"in '{view.name}'"
        rotor = float(results.source.rotor_rpm[row])
        lasting = float(results.balance.continuous_a[0, row])
        told = results.balance_known(row)
        yield Figure(f"{at}.balance", "output less average demand "
                                      f"{words}", "A", view.balance_a if told else None,
                 partial(balance_work.output_less_demand, results, row), why_unknown=NO_OUTPUT)
        yield Figure(f"{at}.demand", f"average demand {words}", "A", view.demand_a,
                 partial(balance_work.demand, results, row))
        yield Figure(f"{at}.available", f"hot output of the alternator {words}", "A",
                     view.available_a if told else None, partial(battery_work.available, results, row),
                     why_unknown=NO_OUTPUT)
        yield Figure(f"{at}.peak", f"all that is on together {words}", "A", view.peak_a,
                 partial(balance_work.peak, results, row))
        yield Figure(f"{at}.continuous", f"what is on for more than five minutes {words}", "A", lasting,
                     partial(balance_work.continuous, results, row))
        yield Figure(f"{at}.battery", f"what the battery gives {words}; negative is discharge", "A",
                     view.battery_a if told else None, partial(balance_work.battery_current, results, row),
                     why_unknown=NO_OUTPUT)
        yield Figure(f"{at}.bus", f"voltage of the battery post {words}, all that is on together", "V", view.bus_v,
                     partial(battery_work.bus, results, results.solution, row), solved=True)
        yield Figure(f"{at}.rotor", f"speed of the alternator's rotor {words}", "r/min", rotor,
                     partial(battery_work.rotor, results, row))


def _share_limit(assessment: Assessment) -> float:
    rule = assessment.limit_set.alternator
    return given("s", "largest continuous load as a share of the "
                      "output", rule.continuous_share, "-", rule.continuous_source)
