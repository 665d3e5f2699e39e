"""A relay coil draws more than the control unit's output is rated for.

An output rated for half an ampere fails when more is drawn, and the control unit with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import owner_subject
from fuseplan.engine.consumers import COIL
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits, of_the_rest
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solved
from fuseplan.plan.parts import Relay
from fuseplan.plan.ranges import COIL_RESISTANCE
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network = results.network
    rows = through_outputs(results)
    if not rows.parts.size:
        return
    judged = rows.judged(results)
    for index in judged.unknown:
        kind, name = network.consumers.owner[index]
        yield rule.unjudged(owner_subject((kind, name)), "current limit of the control unit's output")
    for index, bound, drawn, most in judged.failing:
        kind, name = network.consumers.owner[index]
        fix = "a small relay between output and coil"
        ohm = network.consumers.reference_v[index] / network.consumers.reference_a[index] * drawn / most
        if COIL_RESISTANCE.holds(ohm):
            fix = f"a relay with a coil of {writing.burden(ohm, 'ohm')} or more, or {fix}"
        yield rule.finding(
            results, owner_subject((kind, name)),
            f"the coil draws {writing.burden(drawn, 'A')}, the control unit's output is rated for "
            f"{writing.limit(most, 'A')}", figure=drawn, limit=most, unit="A", bound=bound, fix=fix,
            fields=(f"{kind}.{name}.relay.contact", f"{kind}.{name}.relay.coil", f"{kind}.{name}.relay.driver_limit"))


def through_outputs(results: Results) -> LimitRows:
    """The current of each coil that a control unit drives, in the condition where it is largest, against what the
    output is rated for."""
    network = results.network
    outputs = {("circuit", network.circuit_ids[number]): most
               for number, most in of_circuits(network, _output_a, "ecu").items()}
    outputs.update(of_the_rest(network, _outputs_of_feeds))
    owners = network.consumers.owner
    driven = {index: outputs[owners[index]] for index in np.flatnonzero(network.consumers.kind == COIL).tolist()
              if owners[index] in outputs} if outputs else {}
    coils = np.array(list(driven), dtype=np.int64)
    return rows_of(lambda: [network.consumers.owner[index] for index in driven], coils, np.array(list(driven.values())),
                   lambda figures: _largest_a(figures.solution, coils))


def _output_a(network: Network, number: int) -> float | None:
    """What the control unit's output that drives the relay of a circuit is rated for [A], as `_rated_a`."""
    return _rated_a(network.circuits[number].relay)


def _outputs_of_feeds(network: Network) -> dict[tuple[str, str], float]:
    """The same of feeds, as far as a control unit drives their relay."""
    return {("feed", name): most for name, feed in network.plan.feed.items()
            if (most := _rated_a(feed.relay)) is not None}


def _rated_a(relay: Relay | None) -> float | None:
    """What the control unit's output that drives a relay is rated for, NaN where that is not stated [A]; None where no
    control unit drives it."""
    if relay is None or relay.driver != "ecu":
        return None
    return math.nan if relay.driver_limit is None else float(relay.driver_limit)


def _largest_a(solution: Solved, members: Ints) -> Floats:
    """Largest current of some consumers in any condition (cases, members) [A]."""
    return np.asarray(solution.cases.parted(solution.consumer_a[:, members]).max(axis=1))


RULE = Rule(
    consequence="damages_a_part",
    title="Output overloaded",
    source="limit of the output as entered in the plan; coil resistances from relay makers' datasheets",
    caution="The output burns out inside the control unit; it cannot be repaired at the roadside and may fail switched "
            "on.",
    fix="a relay with a coil of higher resistance, or a small relay between the output and the coil",
    example="fails: a 0.13 A coil on a 0.1 A output; passes: on a 1 A output",
    find=find,
    limits=(through_outputs,),
)
