"""How the figures of short circuits are worked out."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.explain import order_work
from fuseplan.checks.explain.traced import traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.results import Results
from fuseplan.results.short_circuit import ShortCircuit


def _far(part: ShortCircuit, results: Results) -> Any:
    kind, name = part.owner
    if kind == "circuit":
        return results.faults.circuit_far_a[part.solved.circuit_index[name]]
    return results.faults.fuse_far_a[part.own] if part.own >= 0 else results.faults.feed_far_a[name]


def _silent(part: ShortCircuit) -> str:
    if not part.is_known:
        return "a figure it rests on is missing"
    return "it may never be cleared: the current is below the first printed multiple" if part.may_never_clear else \
        "no device of its own, or no published limits on file"


def _pair_silent(part: ShortCircuit) -> str:
    return "there is no device above it" if part.pair is None else "it is selective over the whole range, or unknown"


def _selectivity(part: ShortCircuit) -> str:
    assert part.pair is not None
    return order_work.order(part, part.pair)


def _selective_up_to(part: ShortCircuit) -> float:
    assert part.pair is not None
    return order_work.from_a(part, part.pair)


works_out(ShortCircuit.far_end_a, traced(_far, "A"), _silent)
works_out(ShortCircuit.prospective_a, traced(lambda part, results: results.faults.prospective_a[part.own], "A"),
          _silent)
works_out(ShortCircuit.max_clearing_s,
          traced(lambda part, results: results.opens_s(part.device, _far(part, results)), "s"), _silent)
works_out(ShortCircuit.selectivity, _selectivity, _pair_silent)
works_out(ShortCircuit.selective_up_to_a, _selective_up_to, _pair_silent)
