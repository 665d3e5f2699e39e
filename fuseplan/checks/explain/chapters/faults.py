"""How the figures of short circuits are worked out."""

from __future__ import annotations

from fuseplan.checks.explain import fault_work, order_work
from fuseplan.checks.explain.working import works_out
from fuseplan.results.short_circuit import ShortCircuit


def _far(part: ShortCircuit) -> float:
    results = part.solved.results
    kind, name = part.owner
    if kind == "circuit":
        return fault_work.circuit_far(results, part.solved.circuit_index[name])
    return fault_work.device_far(results, part.own) if part.own >= 0 else fault_work.feed_far(results, name)


def _silent(part: ShortCircuit) -> str:
    if not part.is_known:
        return "a figure it rests on is missing"
    return "it may never be cleared: the current is below the first printed multiple" if part.may_never_clear else \
        "no device of its own, or no published limits on file"


def _pair_silent(part: ShortCircuit) -> str:
    return "there is no device above it" if part.pair is None else "it is selective over the whole range, or unknown"


def _selectivity(part: ShortCircuit) -> str:
    assert part.pair is not None
    return order_work.order(part.solved.results, part.pair)


def _selective_up_to(part: ShortCircuit) -> float:
    assert part.pair is not None
    return order_work.from_a(part.solved.results, part.pair)


works_out(ShortCircuit.far_end_a, _far, _silent)
works_out(ShortCircuit.prospective_a, lambda part: fault_work.prospective(part.solved.results, part.own), _silent)
works_out(ShortCircuit.max_clearing_s,
          lambda part: fault_work.opens(part.solved.results, part.device, lambda: _far(part)), _silent)
works_out(ShortCircuit.selectivity, _selectivity, _pair_silent)
works_out(ShortCircuit.selective_up_to_a, _selective_up_to, _pair_silent)
