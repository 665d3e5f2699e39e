"""Compiling a plan: both trees walked depth first, every wire, consumer and fuse given its number."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats, Ints
from fuseplan.engine import consumer_rows
from fuseplan.engine.entries import with_entries
from fuseplan.engine.network import Network
from fuseplan.engine.patching import patched
from fuseplan.engine.return_side import ReturnSide
from fuseplan.engine.supply_side import SupplySide
from fuseplan.engine.wiring import freeze as freeze_segments
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.trace import gathered, is_followed, recording


class _Compiler(SupplySide, ReturnSide):
    def run(self) -> Network:
        feeds = self.compile_feeds()
        earths, common, node_of = self.compile_returns()
        supply, supply_final = self.supply.build()
        returns, return_final = self.returns.build()
        wanted, live = self.masks.conditions.rows(self.wanted).T, self.masks.conditions.rows(self.live).T
        consumers = consumer_rows.freeze(
            self.rows, supply_final[np.array(self.supply_of, dtype=np.int64)],
            return_final[np.array(node_of, dtype=np.int64)], wanted, live,
            np.array([condition.state == "crank" for condition in self.conditions], dtype=bool), self.system_v)
        segments = freeze_segments(self.wiring)
        guard_built = np.array(self.guard, dtype=np.int64)
        there, back = np.where(segments.returns, 0, segments.branch), np.where(segments.returns, segments.branch, 0)
        returns_guard = np.array(self.returns_guard, dtype=np.int64)
        segment_guard = np.where(segments.returns, returns_guard[back], guard_built[there])
        segments.branch[:] = np.where(segments.returns, return_final[back], supply_final[there])
        guard = np.empty_like(guard_built)
        guard[supply_final] = guard_built
        return Network(
            plan=self.plan, limit_set=self.limit_set, places=self.places, system_v=self.system_v,
            condition_ids=self.condition_ids, conditions=self.conditions, state=self.state,
            duration_s=np.array([condition.duration for condition in self.conditions], dtype=float),
            supply=supply, returns=returns, supply_given=_in_order(self.supply_given, supply_final),
            returns_given=_in_order(self.returns_given, return_final),
            supply_taken=_in_order(self.supply_taken, supply_final),
            returns_taken=_in_order(self.returns_taken, return_final),
            supply_known=_all_known(supply.count, segments.branch[~segments.r20_known & ~segments.returns],
                                    supply_final[np.array(self.no_lead, dtype=np.int64)]),
            returns_known=_all_known(returns.count, segments.branch[~segments.r20_known & segments.returns],
                                     return_final[np.array(self.no_way, dtype=np.int64)]),
            segments=segments, consumers=consumers,
            feed_ids=tuple(feeds), feed_node={name: int(supply_final[node]) for name, node in feeds.items()},
            feed_live=self.feed_live, earth_ids=tuple(earths),
            earth_node={name: int(return_final[node]) for name, node in earths.items()},
            circuit_ids=tuple(self.plan.circuit), circuits=tuple(self.plan.circuit.values()),
            circuit_node=supply_final[np.array(self.circuit_nodes, dtype=np.int64)] if self.circuit_nodes
            else np.zeros(0, dtype=np.int64),
            circuit_live=self.masks.states.rows([states for states, _ in self.circuit_fed]), marked=self.marked,
            return_node_of={number: int(return_final[node]) for number, node in common.items()},
            fuses=tuple(self.fuses),
            fuse_node=supply_final[np.array(self.fuse_node, dtype=np.int64)] if self.fuse_node
            else np.zeros(0, dtype=np.int64),
            guard=guard, segment_guard=segment_guard,
            segment_column=segments.branch + np.where(segments.returns, supply.count, 0), alternator=self.alternator,
            sense=self.sense(feeds, supply_final), unbounded=tuple(self.unbounded),
            missing={name: tuple(dict.fromkeys(words)) for name, words in self.missing.items() if words},
            missing_shared={owner: tuple(dict.fromkeys(words)) for owner, words in self.missing_shared.items()
                            if words},
        )


def _in_order(values: list[float], final: Ints) -> Floats:
    place = np.empty(len(values), dtype=np.int64)
    place[final] = np.arange(len(values))
    found: Floats = gathered(values)[place]
    return found


def _all_known(count: int, *unknown: Ints) -> NDArray[np.bool_]:
    known = np.ones(count, dtype=bool)
    for nodes in unknown:
        known[nodes] = False
    return known


def compile_plan(plan: Plan, limit_set: LimitSet, after: Network | None = None) -> Network:
    """Compile a plan. Names that do not exist are taken as the root, and listed as missing.

    `after` is the network of a plan of which this one is an edit: what did not change is taken over from it.
    """
    if recording():
        return with_entries(_Compiler(plan, limit_set).run())
    if after is not None and after.limit_set == limit_set and not is_followed(after.supply_given):
        found = patched(after, plan, lambda alone: _Compiler(alone, limit_set).run())
        if found is not None:
            return found
    return _Compiler(plan, limit_set).run()
