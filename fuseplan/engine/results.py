"""One plan under one guidance, solved: the arrays every check, screen, paper and command reads."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fuseplan.engine.demand import Demands, demands_of
from fuseplan.engine.drops import Drops, drops_of
from fuseplan.engine.fusing import Fusing, estimate, fusing_of, resistances
from fuseplan.engine.network import Network, compile_plan
from fuseplan.engine.power import Balance, balance_of
from fuseplan.engine.relays import Switching, switching_of
from fuseplan.engine.solve import Solution, solve
from fuseplan.engine.source import Source, source_of
from fuseplan.guidance import Guidance
from fuseplan.plan.model import Plan


@dataclass(frozen=True)
class Results:
    """All that is computed of a plan, before anything is judged."""

    network: Network
    source: Source
    solution: Solution
    demands: Demands
    fusing: Fusing
    drops: Drops
    balance: Balance
    switching: Switching

    @property
    def plan(self) -> Plan:
        return self.network.plan

    @property
    def guidance(self) -> Guidance:
        return self.network.guidance


def compute(plan: Plan, guidance: Guidance) -> Results:
    """Compile and solve a plan.

    Ratings the plan leaves out are estimated for a first solution; where the proposals that follow from it have
    another resistance, the network is solved once more with them.
    """
    network = compile_plan(plan, guidance)
    source = source_of(plan, network.conditions, network.system_v)
    ohm = resistances(network, estimate(network))
    solution = solve(network, source, ohm)
    demands = demands_of(network, solution, source)
    fusing = fusing_of(network, solution, demands)
    proposed_ohm = resistances(network, fusing.rating_a)
    if not np.array_equal(ohm, proposed_ohm):
        solution = solve(network, source, proposed_ohm)
        demands = demands_of(network, solution, source)
        fusing = fusing_of(network, solution, demands)
    others = [solve(network, source, proposed_ohm, on) for on in network.consumers.instead]
    drops = drops_of(network, [solution, *others], [network.consumers.on, *network.consumers.instead])
    return Results(network=network, source=source, solution=solution, demands=demands, fusing=fusing,
                   drops=drops, balance=balance_of(network, solution, source),
                   switching=switching_of(network, demands))
