"""A plan compiled to arrays: the tree of feeds, the tree of earths, the wires between, and what hangs on them."""

from __future__ import annotations

from typing import NamedTuple

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.ambient import Places
from fuseplan.engine.consumers import Consumers
from fuseplan.engine.marking import Marked
from fuseplan.engine.missing import Missing
from fuseplan.engine.segments import Segments
from fuseplan.engine.tree import Tree
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Circuit, Condition, Plan
from fuseplan.plan.parts import Fuse
from fuseplan.records import dataclass


class FuseRow(NamedTuple):
    """One protective device as it stands in the plan."""

    owner: tuple[str, str]
    fuse: Fuse
    ambient_c: float


@dataclass(frozen=True)
class CompiledPlan:
    """What the compiler writes. C conditions, S segments, L consumers, J fuses."""

    plan: Plan
    limit_set: LimitSet
    places: Places
    system_v: float
    condition_ids: tuple[str, ...]
    conditions: tuple[Condition, ...]
    state: Ints
    duration_s: Floats
    supply: Tree
    returns: Tree
    supply_given: Floats
    """Resistance of each supply branch besides its wires and fuse, as far as the plan or a table gives it: contacts,
    switches, joints (N,) [ohm]."""
    returns_given: Floats
    """The same for return branches (M,) [ohm]."""
    supply_taken: Floats
    """What is taken for the rest (N,) [ohm]: it counts as nothing in the most a short draws."""
    returns_taken: Floats
    """The same for return branches (M,) [ohm]."""
    supply_known: Flags
    """Whether the resistance of each supply branch is known, whatever its fuse (N,)."""
    returns_known: Flags
    """The same for return branches (M,)."""
    segments: Segments
    consumers: Consumers
    feed_ids: tuple[str, ...]
    feed_node: dict[str, int]
    feed_live: dict[str, Flags]
    earth_ids: tuple[str, ...]
    earth_node: dict[str, int]
    circuit_ids: tuple[str, ...]
    circuits: tuple[Circuit, ...]
    circuit_node: Ints
    circuit_live: Flags
    """(circuits, states)."""
    marked: Marked
    """Numbers of the circuits and fuses that have what few have (`marking`)."""
    return_node_of: dict[int, int]
    """Return node of the common earth wire of each circuit that has one."""
    fuses: tuple[FuseRow, ...]
    fuse_node: Ints
    guard: Ints
    """Fuse that guards each supply node's branch, -1 for none."""
    segment_guard: Ints
    """Fuse that guards each segment, -1 for none."""
    segment_column: Ints
    """Column of each segment's branch where supply and return branches stand side by side (S,)."""
    alternator: int
    """Number of the alternator among the consumers, -1 without one."""
    sense: int
    """Supply node its regulator senses, `OWN_TERMINAL` or `POST`."""
    unbounded: tuple[int, ...]
    """Consumers of the kind `UNSTATED` behind no fuse of a rating entered: whatever else is on at the same time is not
    known."""
    missing: dict[str, tuple[Missing, ...]]
    """What each circuit lacks for its figures."""
    missing_shared: dict[tuple[str, str], tuple[Missing, ...]]
    """The same for feeds, earths and the alternator, by (kind, id)."""
