"""Which feeds and circuits are live at each position of the key."""

from __future__ import annotations

from fuseplan.array_types import Flags
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.part_names import title_of
from fuseplan.plan.words import STATES
from fuseplan.records import dataclass


@dataclass(frozen=True)
class StateLine:
    """A feed or circuit over the key positions of `STATES`."""

    kind: str
    id: str
    title: str
    live: tuple[bool, ...]
    must_run: tuple[bool, ...]
    must_stop: tuple[bool, ...]
    fed: bool
    """It is known where it is fed from."""


def state_lines(assessment: Assessment) -> tuple[StateLine, ...]:
    """Feeds from the battery outwards, then circuits; those out of scope are left out."""
    network, plan = assessment.results.network, assessment.plan
    nothing = (False,) * len(STATES)
    lines = [StateLine("feed", view.id, title_of(plan, "feed", view.id), _flags(network.feed_live[view.id]), nothing,
                       nothing, True) for view in assessment.feeds]
    for number, (name, circuit) in enumerate(zip(network.circuit_ids, network.circuits, strict=True)):
        if circuit.out_of_scope is None:
            lines.append(StateLine("circuit", name, title_of(plan, "circuit", name),
                                   _flags(network.circuit_live[number]),
                                   tuple(state in circuit.must_run for state in STATES),
                                   tuple(state in circuit.must_stop for state in STATES),
                                   circuit.feed is not None))
    return tuple(lines)


def _flags(live: Flags) -> tuple[bool, ...]:
    return tuple(bool(each) for each in live)
