"""A relay coil draws more than the control unit's output is rated for.

An output rated for half an ampere fails when more is drawn, and the control unit with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

import numpy as np

from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, SubjectKind, Unjudged, over_limit
from fuseplan.engine.consumers import COIL
from fuseplan.engine.results import Results
from fuseplan.engine.solve import CORNERS
from fuseplan.plan.ranges import COIL_RESISTANCE
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, plan = results.network, results.plan
    coils = np.flatnonzero(network.consumers.kind == COIL)
    if not coils.size:
        return
    limit, driven = np.full(coils.size, np.nan), np.zeros(coils.size, dtype=bool)
    for place, index in enumerate(coils.tolist()):
        kind, name = network.consumers.owner[index]
        relay = plan.circuit[name].relay if kind == "circuit" else plan.feed[name].relay
        driven[place] = relay is not None and relay.driver == "ecu"
        if relay is not None and relay.driver_limit is not None:
            limit[place] = float(relay.driver_limit)
    current = results.solution.consumer_a[:, coils].reshape(CORNERS, -1, coils.size).max(axis=1)
    judged = over_limit(current, limit, driven)
    for place in judged.unknown:
        kind, name = network.consumers.owner[int(coils[place])]
        yield rule.unjudged((cast(SubjectKind, kind), name), "current limit of the control unit's output")
    for place, corner in judged.fails:
        kind, name = network.consumers.owner[int(coils[place])]
        drawn, most = float(current[corner, place]), float(limit[place])
        index = int(coils[place])
        fix = "a small relay between output and coil"
        ohm = network.consumers.reference_v[index] / network.consumers.reference_a[index] * drawn / most
        if COIL_RESISTANCE.holds(ohm):
            fix = f"a relay with a coil of {writing.burden(ohm, 'ohm')} or more, or {fix}"
        yield rule.finding(
            results, (cast(SubjectKind, kind), name),
            f"{MEASURE_WORDS if corner else ''}the coil draws {writing.burden(drawn, 'A')}, the control unit's output "
            f"is rated for {writing.limit(most, 'A')}", figure=drawn, limit=most, unit="A", measure=bool(corner),
            fix=fix,
            fields=(f"{kind}.{name}.relay.contact", f"{kind}.{name}.relay.coil", f"{kind}.{name}.relay.driver_limit"))


RULE = Rule(
    consequence="damages_a_part",
    title="Output overloaded",
    source="limit of the output as entered in the plan; coil resistances from relay makers' datasheets",
    caution="The output burns out inside the control unit; it cannot be repaired at the roadside and may fail switched "
            "on.",
    fix="a relay with a coil of higher resistance, or a small relay between the output and the coil",
    example="fails: a 0.13 A coil on a 0.1 A output; passes: on a 1 A output",
    find=find,
)
