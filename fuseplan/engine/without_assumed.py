"""A solved plan once more with every resistance at nothing that the plan does not give.

What fails there fails for certain; what fails only with the resistances taken (`engine/assumed.py`) asks for a reading.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fuseplan.engine.assumed import fuse_taken
from fuseplan.engine.drops import drops_of
from fuseplan.engine.fault import far_ends_of
from fuseplan.engine.results import Results
from fuseplan.engine.solve import solve, solve_choices
from fuseplan.engine.source import battery_known, strongest_ohm
from fuseplan.engine.warming import wires_of


def without_assumed(results: Results) -> Results:
    """The results without assumed resistances, the currents planned for and the fuses left as they are; a battery of
    unknown resistance is taken as a strong one. They say what fails, not how it is mended."""
    plan, consumers = results.plan, results.network.consumers
    network = replace(
        results.network, supply_taken=np.zeros_like(results.network.supply_taken),
        returns_taken=np.zeros_like(results.network.returns_taken))
    taken = [fuse_taken(kind, float(rating)) is not None
             for kind, rating in zip(network.fuse_kinds, results.fusing.rating_a, strict=True)]
    fuse_ohm = np.where(np.array(taken, dtype=bool), 0.0, results.fuse_ohm)
    source, inner = results.source, None
    if not battery_known(plan.battery):
        inner = strongest_ohm(plan.battery, network.system_v)
        source = replace(source, internal_ohm=np.full_like(source.internal_ohm, inner))
    usual = solve(network, source, fuse_ohm, start=results.solution, wires=wires_of(network))
    choices = (usual, *solve_choices(network, source, fuse_ohm, consumers.instead, usual))
    regulated = None if results.regulated is None else solve(network, source.strong, fuse_ohm, start=usual)
    return replace(results, network=network, source=source, solution=usual, choices=choices, regulated=regulated,
                   drops=drops_of(network, choices, [consumers.on, *consumers.instead]), fuse_ohm=fuse_ohm,
                   far_ends=far_ends_of(network, source, usual, fuse_ohm, inner), fixes_wanted=False)
