"""What to do about a circuit without a fuse of its own that the fuse of its feed does not protect: said alike by all
checks that find it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.checks.fixes import another_insulation, fitting, smaller_fuse, suiting
from fuseplan.checks.subjects import fuse_path, owner_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities import writing


class FuseFix(NamedTuple):
    """A fix by a fuse."""

    words: str
    field: str
    """The key it is entered at."""


def unprotected_by_feed(results: Results, device: int, segment: int) -> FuseFix | None:
    """A smaller fuse of the feed where that carries its load and protects the whole circuit, else one of the circuit's
    own; None for a wire of another kind of part or of a relay coil, of a circuit that has its own, and where the wire's
    insulation is to be changed first."""
    network, segments = results.network, results.network.segments
    if device < 0 or segment < 0 or is_coil_wire(segments.place[segment]):
        return None
    kind, name = owner = segments.owner[segment]
    row = network.fuses[device]
    if kind != "circuit" or row.owner == owner or another_insulation(results, segment) is not None:
        return None
    own = [index for index, (each, place) in enumerate(zip(segments.owner, segments.place, strict=True))
           if each == owner and not is_coil_wire(place) and int(network.segment_guard[index]) == device]
    allowed_a = float(np.nanmin(results.largest_fuse_a[own], initial=np.inf))
    fits = fitting(results, device, float(results.fusing.low_a[0, device]),
                   min(allowed_a, float(results.fusing.high_a[device])))
    if fits:
        return FuseFix(smaller_fuse(results, device, suiting(results, device, fits), f" at "
            f"{owner_words(results, row.owner)}"),
                       fuse_path(row, "rating"))
    return FuseFix(f"a fuse of its own of at most {writing.LARGEST_FUSE(allowed_a)} where the wire of "
                   f"{owner_words(results, owner)} starts, "
                   "or a thicker wire there and back", f"circuit.{name}.fuse.rating")


def slow_circuit(results: Results, device: int) -> FuseFix | None:
    """The same for the circuit without a fuse of its own at whose far end a feed's device is too slow, the slowest of
    them; None where the device is too slow for the feed itself, or protects all their wires."""
    network, faults = results.network, results.faults
    kind, name = network.fuses[device].owner
    if kind != "feed" or exceeds(results.opens_s(device, faults.feed_far_a[name]), OPEN_WITHIN_S):
        return None
    slow = np.flatnonzero(exceeds(faults.circuit_opens_s, OPEN_WITHIN_S)
                          & (network.guard[network.circuit_node] == device))
    worst = min(slow.tolist(), key=lambda number: float(faults.circuit_far_a[number]), default=-1)
    return None if worst < 0 else unprotected_circuit(results, device, network.circuit_ids[worst])


def unprotected_circuit(results: Results, device: int, name: str) -> FuseFix | None:
    """The same for a circuit by its name, where the device is too large for one of its wires."""
    segments = results.network.segments
    weak = [index for index, owner in enumerate(segments.owner) if owner == ("circuit", name)
            and not is_coil_wire(segments.place[index])
            and exceeds(results.fusing.rating_a[device], results.largest_fuse_a[index])]
    return unprotected_by_feed(results, device, weak[0]) if weak else None
